"""What a page is told: the document as it is drawn, and how its file stands.

Plain dicts, ready for JSON. The drawing itself comes from `linkage.page.view`.
"""

import os
from collections import Counter
from typing import Any, Literal

from msgspec import Struct

from linkage.faults import Fault
from linkage.last_word import SHEET
from linkage.page import view
from linkage.page.document import Document
from linkage.page.edits import Moved
from linkage.page.journal import Journal
from linkage.page.session import Session
from linkage.page.wire import rows
from linkage.templates import TEMPLATES


class Look(Struct, frozen=True, kw_only=True):
    """How a tab sees the design.

    Attributes
    ----------
    units : {"mm", "in"} or None
        Of lengths; None: those of the file.
    door : {"left", "right"}
    also : tuple of (str, float)
        Pedals, each with a place of its travel, mm, that was asked for by its number.
    """

    units: Literal["mm", "in"] | None = None
    door: Literal["left", "right"] = "right"
    also: tuple[tuple[str, float], ...] = ()

    @property
    def seen(self) -> dict[str, Any]:
        """It, as `linkage.page.view` takes it."""
        return {"units": self.units, "door": self.door, "also": dict(self.also)}


#: How a tab sees it that has not said otherwise.
FIRST = Look()
#: What is drawn, if it can be, and why not.
Drawn = tuple[dict[str, Any] | None, tuple[Fault, ...]]


class Telling:
    """What the tabs of one session are told; each drawing of it is made once.

    Parameters
    ----------
    session : Session
    journal : Journal
    """

    def __init__(self, session: Session, journal: Journal) -> None:
        self.session, self.journal = session, journal
        self._drawn_of: Document | None = None
        self._drawn: dict[Look, Drawn] = {}

    def state(self, look: Look) -> dict[str, Any]:
        """Return the whole state, as one tab sees it."""
        document = self.session.document
        spoken = "mm" if document.design is None else document.design.units
        result, faults = self._drawing(document, look)
        return {
            "rev": self.session.rev,
            "file": file_dict(self.session, self.journal),
            "undo": self.session.undo_label,
            "redo": self.session.redo_label,
            "units": look.units or spoken,
            "file_units": spoken,
            "door": look.door,
            "text": document.text,
            "faults": rows([*document.faults, *faults]),
            "examples": [
                {"name": each.kind, "says": each.says} for each in TEMPLATES.values()
            ],
            "caution": SHEET,
            "result": result,
        }

    def preview(self, moved: Moved, look: Look) -> view.Preview:
        """Return what moves while a point is dragged."""
        return view.preview(self.session.document, moved.values, **look.seen)

    def _drawing(self, document: Document, look: Look) -> Drawn:
        """Return what is drawn, or that the program cannot draw it."""
        if document is not self._drawn_of:
            self._drawn_of, self._drawn = document, {}
        if look not in self._drawn:
            self._drawn[look] = _drawn(document, look)
        return self._drawn[look]


def _drawn(document: Document, look: Look) -> Drawn:
    try:
        return view.state(document, **look.seen), ()
    except Exception as error:  # noqa: BLE001 - the text stays in reach, and undo
        return None, (own_fault(error),)


def file_dict(session: Session, journal: Journal) -> dict[str, Any]:
    """Return how the file stands: saved, changed by others, something to recover."""
    return {
        "name": session.document.file,
        "path": None if session.path is None else str(session.path),
        "saved": session.saved,
        "disk": session.disk(),
        "recovery": _recovery(journal, session.document.text),
        "unguarded": journal.unguarded,
    }


def _recovery(journal: Journal, text: str) -> dict[str, Any] | None:
    """Return what a killed server left, where it differs from what stands."""
    found = journal.found
    if found is None or found.text == text:
        return None
    left, stands = Counter(found.text.splitlines()), Counter(text.splitlines())
    lines = max((left - stands).total(), (stands - left).total())
    return {"when": found.when, "lines": lines}


def own_fault(error: Exception) -> Fault:
    """Return what went wrong in this program itself as a fault."""
    if os.environ.get("FOOTWELL_TRACE"):
        import traceback

        traceback.print_exception(error)
    return Fault(
        wrong=f"this is the program's own fault: {type(error).__name__}: {error}.",
        right="Please tell its makers, with the file.",
    )
