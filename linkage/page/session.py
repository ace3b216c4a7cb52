"""One document and its history: commits, undo and redo, its file, its revisions.

Plain Python, one object a server, used by one thread at a time. Every step that changes
the text goes through one method, so that neither the revision nor the journal can be
forgotten. What is refused leaves text, revision and history as they were.
"""

from collections.abc import Sequence
from pathlib import Path
from typing import Literal, Protocol

from msgspec import Struct

from export.files import put_bytes
from linkage.design.texts import LARGEST, text_of
from linkage.faults import Fault, FootwellError
from linkage.page.document import Document, Refused, read
from linkage.page.edits import Change, Moved, apply, collide, numbers, touched

Disk = Literal["same", "changed", "gone", "no file"]
#: What a step touches that puts another text in place of the whole.
ALL = frozenset({""})
#: Signs that the history may hold: some ten thousand steps of a usual file.
MOST = 64_000_000
_MARK = b"\xef\xbb\xbf"


class Stale(FootwellError):  # noqa: N818 - it says what the change was
    """A change to a revision that is no longer the last, where others changed it."""


class OnDisk(FootwellError):  # noqa: N818 - it says where the trouble is
    """The file is not what was read: ``disk`` says what became of it."""

    def __init__(self, disk: Disk) -> None:
        self.disk = disk
        super().__init__(disk)

    def __str__(self) -> str:
        return {
            "changed": "the file was changed by another program since it was read.",
            "gone": "the file is no longer where it was.",
        }.get(self.disk, "this design has no file yet.")


class Journal(Protocol):
    """Keeps what is not saved; neither method raises."""

    def keep(self, text: str) -> None:
        """Keep the text as it stands now."""

    def drop(self) -> None:
        """Forget it: what is on disk is what stands."""


class Step(Struct, frozen=True, kw_only=True, eq=False):
    """A step of the history: where it leads back (or on) to, and what it touched."""

    label: str
    text: str
    file: str
    path: Path | None
    touched: frozenset[str]


class Session:
    """A document that is worked on.

    Parameters
    ----------
    text : str
        As read from the file, if there is one.
    name : str
        The name for messages.
    path : Path, optional
        The file; none for a design that was never saved.
    journal : Journal, optional

    Attributes
    ----------
    document : Document
    rev : int
        Counts every change of the text, undo and redo too.
    path : Path or None
    """

    def __init__(
        self,
        text: str,
        name: str,
        path: Path | None = None,
        journal: Journal | None = None,
    ) -> None:
        self.document = read(text, name)
        self.path = path
        self.rev = 0
        self._journal = journal
        self._past: list[Step] = []
        self._future: list[Step] = []
        self._log: list[frozenset[str]] = []
        self._known: dict[Path, bytes] = {}
        if path is not None:
            self._known[path] = _raw(path, text)

    # ----------------------------------------------------------------- what stands

    @property
    def undo_label(self) -> str | None:
        """What `undo` would take back."""
        return self._past[-1].label if self._past else None

    @property
    def redo_label(self) -> str | None:
        """What `redo` would do again."""
        return self._future[-1].label if self._future else None

    @property
    def saved(self) -> bool:
        """Whether the file holds just this text, as far as this session wrote or read."""
        return self.path is not None and self._known[self.path] == self.data

    @property
    def data(self) -> bytes:
        """The text as it goes to a file, with the mark that the file began with."""
        known = b"" if self.path is None else self._known[self.path]
        mark = _MARK if known.startswith(_MARK) else b""
        return mark + self.document.text.encode()

    def disk(self) -> Disk:
        """Return how the file stands to what was read or written last."""
        if self.path is None:
            return "no file"
        try:
            with self.path.open("rb") as file:
                raw = file.read(LARGEST + len(_MARK) + 1)
        except OSError:
            return "gone"
        return "same" if raw == self._known[self.path] else "changed"

    # ----------------------------------------------------------------- changes

    def preview(self, base_rev: int, changes: Sequence[Change]) -> Moved:
        """Return what changes would come to; nothing is touched.

        Raises
        ------
        Refused, Stale
        """
        self._since(base_rev)
        return numbers(self.document, changes)

    def commit(self, base_rev: int, changes: Sequence[Change], label: str) -> None:
        """Make changes: one step, none where the text stays as it is.

        Changes to an older revision are merged where what they touch was left alone
        since.

        Raises
        ------
        Refused, Stale
        """
        since = self._since(base_rev)
        touches = touched(self.document, changes)
        if collide(touches, since):
            raise Stale(label)
        self._step(apply(self.document, changes), label, touches)

    def replace(self, base_rev: int, text: str, label: str) -> None:
        """Put another text in place of the whole; one with faults stands, to be mended.

        Raises
        ------
        Refused
            For a text that is too large to be a design.
        Stale
        """
        if self._since(base_rev):
            raise Stale(label)
        self._step(self._sized(text, self.document.file), label, ALL)

    def load(self, name: str, text: str) -> None:
        """Take up another design, which has no file yet; one with faults is to be mended.

        Raises
        ------
        Refused
            For a text that is too large to be a design.
        """
        self._push(self._sized(text, name), None, f"load {name}", ALL)

    def undo(self) -> None:
        """Take the last step back, if there is one."""
        self._turn(self._past, self._future)

    def redo(self) -> None:
        """Do again what was taken back last, if there is something."""
        self._turn(self._future, self._past)

    # ----------------------------------------------------------------- the file

    def save(self, *, force: bool = False) -> None:
        """Write the text to its file, whole or not at all.

        Raises
        ------
        OnDisk
            Where there is no file, or where it is not what was read: then only with
            ``force``.
        OSError
            Where it cannot be written.
        """
        disk = self.disk()
        if self.path is None or (disk != "same" and not force):
            raise OnDisk(disk)
        raw = self.data
        put_bytes(self.path, raw, force=True)
        self._known[self.path] = raw
        self._tell_journal()

    def reload(self) -> None:
        """Take what stands in the file now; a step like any other.

        Raises
        ------
        DesignError
            Where it cannot be read.
        OnDisk
            Where there is no file.
        """
        if self.path is None:
            raise OnDisk("no file")
        text = text_of(self.path)
        self._known[self.path] = _raw(self.path, text)
        self._step(self._sized(text, self.document.file), "reload", ALL)
        self._tell_journal()

    # ----------------------------------------------------------------- history

    def _since(self, base_rev: int) -> frozenset[str]:
        """Return what was touched since a revision."""
        if not 0 <= base_rev <= self.rev:
            raise Stale(str(base_rev))
        return frozenset().union(*self._log[base_rev:])

    def _sized(self, text: str, file: str) -> Document:
        if len(text.encode("utf-8", "replace")) > LARGEST:
            wrong, right = "is larger than 1 MB.", "No design file is."
            raise Refused([Fault(file=file, wrong=wrong, right=right)])
        return read(text, file)

    def _step(self, document: Document, label: str, touches: frozenset[str]) -> None:
        """Go on to another text of the same file; nothing where it is the same."""
        if document.text != self.document.text:
            self._push(document, self.path, label, touches)

    def _push(
        self, document: Document, path: Path | None, label: str, touches: frozenset[str]
    ) -> None:
        self._past.append(self._standing(label, touches))
        self._future.clear()
        del self._past[: max(0, len(self._past) - self._most())]
        self._become(document, path, touches)

    def _most(self) -> int:
        return max(1, MOST // max(1, len(self.document.text)))

    def _turn(self, stack: list[Step], other: list[Step]) -> None:
        """Go where the last step of a stack leads; the other gets the way back."""
        if not stack:
            return
        step = stack.pop()
        other.append(self._standing(step.label, step.touched))
        self._become(read(step.text, step.file), step.path, step.touched)

    def _standing(self, label: str, touches: frozenset[str]) -> Step:
        return Step(
            label=label,
            text=self.document.text,
            file=self.document.file,
            path=self.path,
            touched=touches,
        )

    def _become(
        self, document: Document, path: Path | None, touches: frozenset[str]
    ) -> None:
        """Let another document stand: the one way in which the text ever changes."""
        self.document, self.path = document, path
        self.rev += 1
        self._log.append(touches)
        self._tell_journal()

    def _tell_journal(self) -> None:
        if self._journal is None:
            return
        if self.saved:
            self._journal.drop()
        else:
            self._journal.keep(self.document.text)


def _raw(path: Path, text: str) -> bytes:
    """Return the bytes that a text was read from: a mark in front is no part of it."""
    try:
        with path.open("rb") as file:
            mark = file.read(len(_MARK))
    except OSError:
        mark = b""
    return (_MARK if mark == _MARK else b"") + text.removeprefix("\ufeff").encode()
