"""What a part is bought or made as, read back: bores, strokes, threads, thicknesses."""

import re
from collections.abc import Iterator

from linkage.design.records import CableRun, Part, Pedal
from linkage.design.values import Value
from linkage.units import plain, trim
from linkage.words.names import part_name
from linkage.words.speech import tidy

#: Numbers of a part that move nothing, or nothing but its end, as they are said.
_SIZES = ("bore", "second_bore", "stroke", "gland", "thick")
_NUMBER = re.compile(r"[\d.][\d ./-]*")
#: Words of a part that are for its maker.
_NOTES = ("thread", "adjusts")


def fitting_lines(pedal: Pedal) -> Iterator[str]:
    """Yield a sentence for each part that has a size or a note of its own."""
    for part in pedal.train:
        said = [*_sizes(part), *_notes(part)]
        if said:
            name = part_name(pedal, part)
            yield f"{name[0].upper()}{name[1:]}: {', '.join(said)}."
        run: CableRun | None = getattr(part, "cable", None)
        notes = [] if run is None else list(_notes(run))
        if run is not None and (notes or run.name):
            own = f' "{tidy(run.name, 24)}"' if run.name else ""
            told = f": {', '.join(notes)}" if notes else ""
            yield f"The cable to the {part_name(pedal, part)}{own}{told}."


def _sizes(part: Part) -> Iterator[str]:
    for key in _SIZES:
        size: Value | None = getattr(part, key, None)
        if size is not None:
            yield f"{key.replace('_', ' ')} {_said(size)}"


def _said(size: Value) -> str:
    """Return a size as it was typed, and in both systems where it was in the other."""
    if size.options:
        return f"one of {', '.join(tidy(text, 16) for text in size.spelt)}"
    about = "about " if size.guess else ""
    if size.unit == "in":
        typed = _NUMBER.search(plain(size.text))
        inch = typed[0].strip() if typed else trim(size.nominal / 25.4, 4)
        return f"{about}{inch} in ({trim(size.nominal, 3)} mm)"
    return f"{about}{trim(size.nominal, 3)} mm ({trim(size.nominal / 25.4, 4)} in)"


def _notes(record: object) -> Iterator[str]:
    for key in _NOTES:
        text: str | None = getattr(record, key, None)
        if text:
            yield f"{key} {tidy(text, 30)}"
