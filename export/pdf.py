"""Pages as one PDF at exact size; the same pages are always the same bytes."""

import io
from collections.abc import Sequence

from export.figure import drawn, settings
from export.lettering import clean
from export.shapes import Drawing


def pdf_bytes(pages: Sequence[Drawing]) -> bytes:
    """Return ``pages`` as a PDF document, each page of its own size.

    Title and mark are those of the first page; no date is written.

    Raises
    ------
    ValueError
        Without a page.
    """
    if not pages:
        raise ValueError("a document needs a page")
    from matplotlib.backends.backend_pdf import PdfPages

    out = io.BytesIO()
    about = {
        "Title": clean(pages[0].title),
        "Keywords": clean(pages[0].mark),
        "Creator": None,
        "Producer": None,
        "CreationDate": None,
    }
    with settings(), PdfPages(out, metadata=about) as document:
        for page in pages:
            document.savefig(drawn(page))
    return out.getvalue()
