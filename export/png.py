"""A page as a PNG picture; the same page is always the same bytes."""

import io

from export.figure import drawn, settings
from export.lettering import clean
from export.shapes import Drawing


def png_bytes(drawing: Drawing, *, dpi: float = 150.0) -> bytes:
    """Return ``drawing`` as a PNG picture of ``dpi`` pixels an inch, on white."""
    out = io.BytesIO()
    about = {
        "Software": None,
        "Title": clean(drawing.title),
        "Description": clean(drawing.mark),
    }
    with settings():
        drawn(drawing).savefig(
            out, format="png", dpi=dpi, facecolor="#ffffff", metadata=about
        )
    return out.getvalue()
