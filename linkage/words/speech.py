"""How numbers and directions are said, in the units of the design.

Millimetres to 0.1. Inches in fractions where a tape or a rule is laid on, to 0.001 where
a machine is set or a gap is felt. Directions are said with the words of the bench.
"""

import cmath
import math
import textwrap
from typing import Literal

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from linkage.units import POUND, both, inches, trim

INCH = 25.4
WIDTH = 88
#: Under this no tape is read, mm: what is smaller is said in thousandths of an inch.
LEAST_FRACTION = INCH / 16


class Speech(Struct, frozen=True, eq=False):
    """Says lengths in the unit that a design speaks."""

    units: Literal["mm", "in"]

    @property
    def name(self) -> str:
        """The unit as a word in a sentence."""
        return "mm" if self.units == "mm" else "inches"

    def length(self, mm: float, digits: int | None = None) -> str:
        """Return a length with a fixed number of decimals: "120.0", "4.724"."""
        if digits is None:
            digits = 1 if self.units == "mm" else 3
        shown = mm if self.units == "mm" else mm / INCH
        text = f"{shown:.{digits}f}"
        return text[1:] if text.startswith("-") and not float(text) else text

    def lengths(self, mm: NDArray[np.float64], digits: int | None = None) -> list[str]:
        """Return many lengths as `length` says each."""
        if digits is None:
            digits = 1 if self.units == "mm" else 3
        return fixed(mm if self.units == "mm" else mm / INCH, digits)

    def short(self, mm: float, digits: int | None = None) -> str:
        """Return a length without idle zeros: "120", "4.72"."""
        if digits is None:
            digits = 1 if self.units == "mm" else 3
        return trim(mm if self.units == "mm" else mm / INCH, digits)

    def tape(self, mm: float) -> tuple[str, str]:
        """Return a tape length in millimetres and in inches."""
        return both(mm)

    def on_tape(self, mm: float) -> str:
        """Return a tape length: whole mm, halves below 100; or inches to 1/32."""
        if self.units == "in":
            return inches(mm)
        return trim(round(mm) if abs(mm) >= 100.0 else round(2.0 * mm) / 2.0, 1)

    def reading(self, mm: float) -> str:
        """Return a length that was typed: "120.5", "4 5/8", else "4.974"."""
        if self.units == "mm" or abs(mm * 64 / INCH - round(mm * 64 / INCH)) > 0.01:
            return self.short(mm)
        return inches(mm, 64).removesuffix(" in")

    def ruled(self, mm: float, finest: int = 32) -> str:
        """Return a length as a tape has it, typed or not: "120.5", "4 31/32".

        Inches to 1/32, or to ``finest`` where a steel rule is meant; what is too small
        for either in thousandths.
        """
        typed = self.reading(mm)
        if self.units == "mm" or "/" in typed or abs(mm) < LEAST_FRACTION:
            return typed
        return inches(mm, finest).removesuffix(" in")

    def size(self, mm: float) -> str:
        """Return a size of stock or of a hole, never rounded: "25", "21/64".

        In inches what is no fraction has its millimetres beside it: "0.315 (8 mm)".
        """
        if self.units == "mm":
            return trim(mm, 3)
        typed = self.reading(mm)
        exact = abs(mm * 64 / INCH - round(mm * 64 / INCH)) < 1e-6
        return typed if exact else f"{trim(mm / INCH, 4)} ({trim(mm, 3)} mm)"

    def stock(self, mm: float) -> str:
        """Return a size of stock with its unit: "8 mm", "5/16 in (7.94 mm)"."""
        if self.units == "mm":
            return f"{trim(mm, 3)} mm"
        return f"{self.size(mm).partition(' (')[0]} in ({trim(mm, 2)} mm)"

    def mass(self, kg: float) -> str:
        """Return a mass, in pounds first where lengths are in inches."""
        metric = f"{kg:.2f} kg"
        if self.units == "mm":
            return metric
        return f"{kg / float(POUND):.2f} lb ({metric})"

    @property
    def coarse(self) -> int:
        """Decimals of a place along the pad's arc: no foot knows more."""
        return 1 if self.units == "mm" else 2

    def offset(self, z: complex) -> str:
        """Return how one point lies from another: "9 behind and 56 below".

        Parameters
        ----------
        z : complex
            From the other point, mm.
        """
        words = [
            f"{self.ruled(abs(size))} {word}"
            for size, word in (
                (z.real, "ahead of" if z.real > 0.0 else "behind"),
                (z.imag, "above" if z.imag > 0.0 else "below"),
            )
            if self.ruled(abs(size)) != "0"
        ]
        return " and ".join(words) or "on"

    def step(self, whole: float, rows: int) -> float:
        """Return a round step that walks ``whole`` in at most ``rows`` rows, mm."""
        unit = 1.0 if self.units == "mm" else INCH
        least = whole / rows / unit
        for step in (0.1, 0.2, 0.25, 0.5, 1, 2, 2.5, 5, 10, 20, 25, 50, 100, 200, 500):
            if step >= least * (1.0 - 1e-9):
                return step * unit
        return whole


def fixed(numbers: NDArray[np.float64], digits: int) -> list[str]:
    """Return numbers with a fixed number of decimals; no minus zero, "-" for none.

    >>> fixed(np.array([1.25, -0.001, np.nan]), 2)
    ['1.25', '0.00', '-']
    """
    form = f"%.{digits}f"
    odd = {"-" + form % 0.0: form % 0.0, "nan": "-"}
    texts = [form % number for number in numbers.tolist()]
    return [odd.get(text, text) for text in texts]


def tidy(text: str, most: int = 80) -> str:
    r"""Return a text of the user's as one line that a terminal only prints.

    >>> tidy("a\x1b[31m\nb"), tidy("abcdef", 4)
    ('a [31m b', 'abc…')
    """
    shown = "".join(sign if sign.isprintable() else " " for sign in text)
    shown = " ".join(shown.split())
    return shown if len(shown) <= most else f"{shown[: most - 1]}…"


def off_square(degrees: float, *, pushes: bool) -> str:
    """Return an angle at the hole in words: "8.9 short", "14.3 past", "square"."""
    past = degrees - 90.0 if pushes else 90.0 - degrees
    size = f"{abs(past):.1f}"
    if size == "0.0":
        return "square"
    return f"{size} {'past' if past > 0.0 else 'short'}"


def lean(degrees: float, tip: complex) -> str:
    """Return a rod's lean in words: "0.2 tip low".

    Parameters
    ----------
    degrees : float
        The rod angle, anticlockwise positive.
    tip : complex
        Unit vector along the axis, from the hole towards the rod's end.
    """
    size = f"{abs(degrees):.1f}"
    if size == "0.0":
        return "0.0"
    way = 1j * tip * degrees
    if abs(way.imag) >= abs(way.real):
        return f"{size} tip {'high' if way.imag > 0.0 else 'low'}"
    return f"{size} tip {'ahead' if way.real > 0.0 else 'back'}"


_WAYS = (
    "forward",
    "forward and up",
    "up",
    "back and up",
    "back",
    "back and down",
    "down",
    "forward and down",
)
_BASES = {"forward": 0.0, "up": 90.0, "back": 180.0, "down": -90.0}


def way(z: complex) -> str:
    """Return which way a motion goes, in eighths of a turn: "forward and up"."""
    return _WAYS[round(math.degrees(cmath.phase(z)) / 45.0) % 8]


def heading(axis: complex) -> str:
    """Return a direction in words: "forward, level", "forward, 2 deg up"."""
    degrees = math.degrees(cmath.phase(axis))
    for word, base in _BASES.items():
        off = (degrees - base + 180.0) % 360.0 - 180.0
        if abs(off) > 45.0:
            continue
        size = trim(abs(off), 1)
        if size == "0":
            return (
                f"{word}, level" if word in ("forward", "back") else f"straight {word}"
            )
        turned = axis.imag if word in ("forward", "back") else axis.real
        across = ("up", "down") if word in ("forward", "back") else ("forward", "back")
        return f"{word}, {size} deg {across[0] if turned > 0.0 else across[1]}"
    raise ValueError(f"{axis} is no direction")


def sentence(name: str, text: str) -> list[str]:
    """Return a named sentence as lines that fit a terminal, set in under its name."""
    return textwrap.wrap(
        text,
        width=WIDTH,
        initial_indent=f"  {name:<6} ",
        subsequent_indent=" " * 9,
        break_long_words=False,
    )


def paragraph(text: str, indent: int = 4, more: int = 0) -> list[str]:
    """Return a text as lines that fit a terminal, set in; later lines by ``more``."""
    return textwrap.wrap(
        text,
        width=WIDTH,
        initial_indent=" " * indent,
        subsequent_indent=" " * (indent + more),
        break_long_words=False,
    )


def table(rows: list[list[str]], heads: list[tuple[str, ...]]) -> list[str]:
    """Return lines of a table: heads over some lines, numbers set right, notes left.

    A number may have a word behind it ("8.9 short"): numbers and words then each stand
    under each other. The last column is for notes: it may be empty throughout.
    """
    deep = max(len(head) for head in heads)
    columns = []
    for i, head in enumerate(heads):
        cells = _aligned([row[i] for row in rows])
        column = [""] * (deep - len(head)) + [*head, *cells]
        wide = max(map(len, column))
        columns.append([cell.rjust(wide) for cell in column])
    columns[-1] = [""] * deep + [row[-1] for row in rows]
    lines = [("  " + "  ".join(cells)).rstrip() for cells in zip(*columns, strict=True)]
    rule = "  " + "-" * (max(map(len, lines)) - 2)
    return [*lines[:deep], rule, *lines[deep:]]


def _aligned(cells: list[str]) -> list[str]:
    """Return cells with their numbers set right and their words behind them."""
    if any("/" in cell for cell in cells):
        return cells  # fractions of inches: their words are numbers
    parts = [cell.partition(" ") for cell in cells]
    number = max((len(first) for first, _, _ in parts), default=0)
    word = max((len(last) for _, _, last in parts), default=0)
    if not word:
        return cells
    return [f"{first:>{number}} {last:<{word}}" for first, _, last in parts]
