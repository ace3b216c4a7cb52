"""What a page is told: the document as it is drawn, and how its file stands.

Plain dicts, ready for JSON. The drawing itself comes from `linkage.page.view`.
"""

import os
from collections import Counter
from typing import Any, Literal

from linkage.faults import Fault
from linkage.page import view
from linkage.page.edits import Moved
from linkage.page.journal import Journal
from linkage.page.session import Session
from linkage.page.wire import rows
from linkage.templates import TEMPLATES

#: The units in which a tab sees the design (None: the file's), and from which door.
Look = tuple[Literal["mm", "in"] | None, Literal["left", "right"]]
#: How a tab sees it that has not said otherwise.
FIRST: Look = (None, "right")


def state_dict(session: Session, journal: Journal, look: Look) -> dict[str, Any]:
    """Return the whole state of a session, as one tab sees it."""
    document, (units, door) = session.document, look
    spoken = "mm" if document.design is None else document.design.units
    result, own = None, []
    try:
        result = view.state(document, units=units, door=door)
    except Exception as error:  # noqa: BLE001 - the text stays in reach, and undo
        own = [own_fault(error)]
    return {
        "rev": session.rev,
        "file": file_dict(session, journal),
        "undo": session.undo_label,
        "redo": session.redo_label,
        "units": units or spoken,
        "file_units": spoken,
        "door": door,
        "text": document.text,
        "faults": rows([*document.faults, *own]),
        "examples": [
            {"name": each.kind, "says": each.says} for each in TEMPLATES.values()
        ],
        "result": result,
    }


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


def preview_dict(session: Session, moved: Moved, look: Look) -> dict[str, Any]:
    """Return what moves while a point is dragged."""
    units, door = look
    found = view.preview(session.document, moved.values, units=units, door=door)
    return {**found, "caught": moved.caught}


def own_fault(error: Exception) -> Fault:
    """Return what went wrong in this program itself as a fault."""
    if os.environ.get("FOOTWELL_TRACE"):
        import traceback

        traceback.print_exception(error)
    return Fault(
        wrong=f"this is the program's own fault: {type(error).__name__}: {error}.",
        right="Please tell its makers, with the file.",
    )
