"""What a crash must not take: the text as it stood after the last step, on disk.

Each running server holds one *slot*: a file in the user's folder for such things,
named after the design it belongs to, with a lock that the system lets go of when the
process ends, however it ends. A slot that nobody holds and that has a text in it is
what a killed server left; it is offered, and stays until that is answered.

The text goes to disk whole or not at all. A disk that refuses never stops the work: it
is told in `Journal.unguarded`.
"""

import contextlib
import hashlib
import os
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

from msgspec import Struct

from export.files import put_bytes

#: Servers that may run on one design at once, or leave something behind.
MOST_SLOTS = 16


def state_folder() -> Path:
    """Return the user's folder for what a program keeps between runs."""
    given = os.environ.get("XDG_STATE_HOME") or os.environ.get("LOCALAPPDATA")
    return (Path(given) if given else Path.home() / ".local" / "state") / "footwell"


class Recovery(Struct, frozen=True, kw_only=True):
    """A text that a killed server left.

    Attributes
    ----------
    text : str
    when : str
        When it was written: "2026-05-04 17:20".
    """

    text: str
    when: str


class Slot:
    """One file of the journal, and the lock that says it is in use."""

    def __init__(self, folder: Path, name: str) -> None:
        self.file, self._lock_file = folder / f"{name}.toml", folder / f"{name}.lock"
        self._handle: int | None = None

    def take(self) -> bool:
        """Take the slot; return False where another server holds it."""
        handle = os.open(self._lock_file, os.O_RDWR | os.O_CREAT, 0o600)
        try:
            _lock(handle)
        except OSError:
            os.close(handle)
            return False
        self._handle = handle
        for scrap in self.file.parent.glob(f".{self.file.name}.*"):
            scrap.unlink(missing_ok=True)  # a kill in the middle of writing
        return True

    def leave(self) -> None:
        """Let go of the slot; what is in it stays."""
        if self._handle is not None:
            os.close(self._handle)
            self._handle = None

    def read(self) -> Recovery | None:
        """Return what is in it."""
        try:
            text = self.file.read_bytes().decode()
            when = datetime.fromtimestamp(self.file.stat().st_mtime)  # noqa: DTZ006 - the user's clock
        except (OSError, ValueError):
            return None
        return Recovery(text=text, when=f"{when:%Y-%m-%d %H:%M}")

    def write(self, text: str) -> None:
        """Put a text in, whole or not at all."""
        put_bytes(self.file, text.encode(), force=True)

    def empty(self) -> None:
        """Take out what is in it."""
        self.file.unlink(missing_ok=True)


def _lock(handle: int) -> None:
    """Lock an open file for this process, or raise OSError."""
    if os.name == "nt":
        import msvcrt

        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined]
    else:
        import fcntl

        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)


class Journal:
    """The texts of one server, and what an earlier one left.

    Parameters
    ----------
    path : Path or None
        The design's file; None for a design that has none yet.
    folder : Path, optional
        Where the slots are; `state_folder` unless given.

    Attributes
    ----------
    found : Recovery or None
        What a killed server left of this design, until `answer`.
    unguarded : str or None
        Why a crash now would take what was not saved, as a sentence.
    holds : bool
        Something that was not saved is kept.
    """

    def __init__(self, path: Path | None, folder: Path | None = None) -> None:
        self.found: Recovery | None = None
        self.unguarded: str | None = None
        self.holds = False
        self._folder = state_folder() if folder is None else folder
        whole = "" if path is None else os.path.realpath(path)
        self._name = hashlib.sha256(whole.encode("utf-8", "replace")).hexdigest()[:24]
        self._own: Slot | None = None
        self._left: Slot | None = None
        with self._telling():
            self._folder.mkdir(parents=True, exist_ok=True, mode=0o700)
            self._look()

    def keep(self, text: str) -> None:
        """Write the text as it stands now."""
        with self._telling():
            if self._own is not None:
                self._own.write(text)
                self.unguarded, self.holds = None, True

    def drop(self) -> None:
        """Forget the text: what is on disk is what stands."""
        with self._telling():
            if self._own is not None:
                self._own.empty()
                self.holds = False

    def answer(self) -> None:
        """Forget what was found; look whether there is more."""
        with self._telling():
            if self._left is not None:
                self._left.empty()
                self._left.leave()
            self._left = self.found = None
            self._look()

    def close(self) -> None:
        """Let go of the slots; what is in them stays."""
        for slot in (self._own, self._left):
            if slot is not None:
                slot.leave()
        self._own = self._left = None

    def _look(self) -> None:
        """Take an empty slot for own use, and the first that holds what was left."""
        for count in range(MOST_SLOTS):
            slot = Slot(self._folder, f"{self._name}-{count}")
            if not slot.take():
                continue
            found = slot.read()
            if found is not None and self._left is None:
                self._left, self.found = slot, found
            elif found is None and self._own is None:
                self._own = slot
            else:
                slot.leave()

    @contextlib.contextmanager
    def _telling(self) -> Iterator[None]:
        try:
            yield
        except OSError as error:
            why = (error.strerror or str(error)).rstrip(".").lower()
            self.unguarded = f"A crash would take what is not saved: {why}."
