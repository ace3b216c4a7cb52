"""Which design a sheet belongs to, in words for people and for programs."""

import hashlib
from datetime import UTC, datetime
from pathlib import Path

from msgspec import Struct

from linkage.design.records import Design


class Stamp(Struct, frozen=True, kw_only=True, eq=False):
    """The design's file name, its date as shown, and its short fingerprint."""

    file: str
    date: str
    fingerprint: str

    @property
    def line(self) -> str:
        """For people."""
        return f"{self.file}, {self.date}, print {self.fingerprint}"

    @property
    def mark(self) -> str:
        """For programs: carried unseen in a file that was written from the design."""
        return f"footwell; {self.file}; {self.date}; {self.fingerprint}"

    @property
    def owner(self) -> str:
        """The part of the mark that stays when the design changes."""
        return f"footwell; {self.file};"


def stamp_of(design: Design) -> Stamp:
    """Return file name, date and fingerprint of a design.

    The date is the file's own (UTC), "no date" for a design that is not on disk; the
    fingerprint is the head of the SHA-256 of its text, less a byte-order mark.
    """
    path = Path(design.file)
    try:
        written = datetime.fromtimestamp(path.stat().st_mtime, UTC)
        date = f"{written:%Y-%m-%d %H:%M}"
    except OSError:
        date = "no date"
    text = design.text.removeprefix("\ufeff")
    digest = hashlib.sha256(text.encode()).hexdigest()
    return Stamp(file=path.name, date=date, fingerprint=digest[:8])
