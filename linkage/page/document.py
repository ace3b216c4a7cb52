"""The document on the page: the text of a design file, and what it reads as.

The text is the one truth. A document whose text cannot be used has its faults and no
design, so that a person can mend it where it is shown.
"""

from msgspec import Struct

from linkage.design.records import Design
from linkage.faults import DesignError, Fault
from linkage.loading import load_text
from linkage.page.openings import open_up
from linkage.words.level import judge


class Refused(DesignError):  # noqa: N818 - it says what became of a change
    """A change that is not made; ``faults`` say why, and the old document stays."""


class Document(Struct, frozen=True, kw_only=True, eq=False):
    """A text and its reading.

    Attributes
    ----------
    text : str
        Without a byte-order mark; line ends as in the file.
    file : str
        The name for messages.
    design : Design or None
        None where the text has faults.
    opened : Design or None
        The same with a number for every spot that a handle moves: also where the file
        has a plain word ("forward") or leaves a coordinate out. Previews use this one.
    faults : tuple of Fault
    """

    text: str
    file: str
    design: Design | None
    opened: Design | None
    faults: tuple[Fault, ...] = ()


def read(text: str, file: str) -> Document:
    """Read a text; what is wrong with it is in the document, nothing is raised."""
    text = text.removeprefix("\ufeff")
    try:
        design = load_text(text, file)
        judge(design)
    except DesignError as error:
        return Document(
            text=text, file=file, design=None, opened=None, faults=error.faults
        )
    return Document(text=text, file=file, design=design, opened=open_up(design))
