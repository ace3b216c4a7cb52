"""What is wrong with an input, in one line a fault, all faults at once.

A *fault* stops the work (exit code 2); a *caution* is said and the work goes on.
"""

from collections.abc import Iterable

from msgspec import Struct


class Fault(Struct, frozen=True, kw_only=True, order=True):
    """One thing that is wrong, where it stands and what would be right.

    Attributes
    ----------
    file : str
        The file as the user named it.
    line : int
        Counted from 1; 0 where no line can be named (null in a document).
    key : str
        The key or table it is about; may be empty.
    wrong, right : str
        What is wrong; what would be right (may be empty). In one line for people,
        signs that would break it or steer a screen become question marks.
    """

    file: str = ""
    line: int = 0
    key: str = ""
    wrong: str = ""
    right: str = ""

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}" if self.line else self.file
        parts = [part for part in (place, self.key) if part]
        sentence = f"{self.wrong} {self.right}".strip()
        line = ": ".join([*parts, sentence])
        return "".join(sign if sign.isprintable() else "?" for sign in line)


class FootwellError(Exception):
    """Root of every error that this program raises on purpose."""


class DesignError(FootwellError, ValueError):
    """The design cannot be used; ``faults`` lists all of it, in file order."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__(self.faults)

    def __str__(self) -> str:
        return "\n".join(str(fault) for fault in self.faults)
