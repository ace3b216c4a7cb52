"""The files that a page can take away: the design, its cut file, pattern and pictures.

The very bytes that the command line writes for the same text.
"""

import re
from pathlib import Path
from urllib.parse import quote

from msgspec import Struct
from msgspec.structs import replace

from linkage.arm.fitted import placing
from linkage.faults import DesignError, Fault
from linkage.page.document import Document
from linkage.writing import output_bytes

#: The kind that is the design itself.
OWN = "design.toml"
#: By kind, which is also its plain name: what it is called, and its media type.
KINDS = {
    OWN: ("", "application/toml"),
    "arm.dxf": ("arm", "image/vnd.dxf"),
    "pattern.pdf": ("pattern", "application/pdf"),
    "sweep.svg": ("sweep", "image/svg+xml"),
    "sweep.png": ("sweep", "image/png"),
    "sweep.csv": ("sweep", "text/csv; charset=utf-8"),
}
PAPERS = ("a4", "letter", "a3")
#: What the page advises where a number is still free.
PLACE = "Place what is free, under Targets, or write one number."


class Download(Struct, frozen=True, kw_only=True, eq=False):
    """One file to take away.

    Attributes
    ----------
    data : bytes
    media : str
        Its media type.
    disposition : str
        The header that says what it is to be called: a plain name that is always the
        same, and the design's own name in any script (RFC 6266 and 8187, from memory).
    """

    data: bytes
    media: str
    disposition: str


def download(
    document: Document, data: bytes, kind: str, pedal: str | None, paper: str
) -> Download:
    """Return a file of a design, whose own file holds ``data``.

    Raises
    ------
    KeyError
        There is no such kind.
    DesignError
        The design cannot be used, or gives no such file.
    """
    word, media = KINDS[kind]
    stem = Path(document.file).stem or "design"
    name = "-".join(part for part in (stem, pedal or "", word) if part)
    return Download(
        data=data if kind == OWN else _data(document, kind, pedal, paper),
        media=media,
        disposition=disposition(kind, name + Path(kind).suffix),
    )


def disposition(plain: str, name: str) -> str:
    r"""Return the header value for a file called ``name``, ``plain`` for the simple.

    >>> print(disposition("arm.dxf", 'été "1"\r\nX: y.dxf'))
    attachment; filename="arm.dxf"; filename*=UTF-8''%C3%A9t%C3%A9%20_1_X_%20y.dxf
    """
    safe = re.sub(r'[\x00-\x1f\x7f"*/:<>?\\|]+', "_", name)[-120:]
    encoded = quote(safe.encode("utf-8", "replace"), safe="")
    return f"attachment; filename=\"{plain}\"; filename*=UTF-8''{encoded}"


def _data(document: Document, kind: str, pedal: str | None, paper: str) -> bytes:
    if document.design is None:
        raise DesignError(document.faults)
    if paper not in PAPERS:
        wrong, right = "there is no such paper.", f"There are {', '.join(PAPERS)}."
        raise DesignError(
            [Fault(file=document.file, key="paper", wrong=wrong, right=right)]
        )
    try:
        return output_bytes(document.design, kind, pedal=pedal, paper=paper)
    except DesignError as error:
        raise DesignError(map(_here, error.faults)) from error


def _here(fault: Fault) -> Fault:
    """Return a fault that advises what can be done on the page."""
    return replace(fault, right=PLACE) if fault.right == placing(fault.file) else fault
