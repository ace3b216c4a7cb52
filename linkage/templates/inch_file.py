"""A starting file in inches: the same pedal, each length as a tape in inches has it.

It reads a text and gives a text. Every bare length becomes the nearest sixteenth, a gap
too small for that a decimal; what carries a unit of its own stays as it stands.
"""

import re
from collections.abc import Iterator

from linkage.design.splice import Patch, splice
from linkage.design.values import Value
from linkage.loading import load_text
from linkage.units import INCH, Measure, find_unit, inches, trim

#: Lengths are given to such a part of an inch ...
FINEST = 16
#: ... unless that would change them by more than this share.
COARSE = 0.25

_UNITS = re.compile(r'^units = "mm"', re.MULTILINE)
#: An example in the head: "about 11", "118 +- 2", "100 to 150 near 118".
_EXAMPLE = re.compile(r'"(?:about )?\d+(?: \+- \d+| to \d+ near \d+)?"')
_OTHER = '("4 5/8 in")', "in inches", '("118 mm")', "in mm"


def in_inches(text: str) -> str:
    """Return a starting file, written in mm, as one written in inches."""
    values = load_text(text).values.values()
    changed = splice(text, _patches(value for value in values if _is_bare(value)))
    pairs = zip(text.split("\n"), changed.split("\n"), strict=True)
    head, rest = "\n".join(_aligned(*pair) for pair in pairs).split("\n\n", maxsplit=1)
    example, said, other, instead = _OTHER
    head = head.replace(said, instead).replace(example, other)
    head = _EXAMPLE.sub(lambda found: _sixteenths(found[0]), head)
    rest = _UNITS.sub('units = "in"', rest)
    return f"{head}\n\n{rest}"


def _is_bare(value: Value) -> bool:
    """Return True for a length without a unit of its own that stands in the file."""
    unit = find_unit(value.unit)
    length = unit is not None and unit.measure is Measure.LENGTH
    return (
        length and value.span[1] > 0 and re.fullmatch(r"[\d.]+", value.text) is not None
    )


def _patches(values: Iterator[Value]) -> Iterator[Patch]:
    spots = {value.span: value for value in values}
    for span, value in spots.items():
        text = _inch(value.nominal)
        yield Patch(*span, text if re.fullmatch(r"[\d.]+", text) else f'"{text}"')


def _aligned(before: str, line: str) -> str:
    """Return a line with its comment where it stood, or close behind what is longer."""
    words, mark, said = line.partition(" #")
    return f"{words.rstrip() + ' ':<{before.find(mark)}}{mark}{said}" if said else line


def _inch(mm: float) -> str:
    """Return a length as it is written in a file of inches: 4 5/8, 0.02."""
    steps = round(abs(mm) / float(INCH) * FINEST)
    if abs(steps * float(INCH) / FINEST - abs(mm)) > COARSE * abs(mm):
        return trim(mm / float(INCH), 2)
    return inches(mm, FINEST).removesuffix(" in")


def _sixteenths(example: str) -> str:
    return re.sub(r"\d+", lambda found: _inch(float(found[0])), example)
