"""What a call from Python may say: a pedal's name, places, counts, words of a choice.

Each function returns what was given in the form in which the work wants it, or says in
one fault what would be right. It knows no command line: its keys are Python's names.
"""

from collections.abc import Iterable, Mapping, Sequence
from math import isfinite
from numbers import Integral, Real
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linkage.design.records import Design
from linkage.faults import DesignError, Fault

MOST_POSITIONS = 100_001
#: Places of the travel lie below this, mm.
MOST_TRAVEL = 1e6
#: The coarsest step to mark out by, mm.
MOST_STEP = 10.0


def refused(key: str, wrong: str, right: str, file: str = "") -> DesignError:
    """Return the error for one argument."""
    return DesignError([Fault(file=file, key=key, wrong=wrong, right=right)])


def named(design: Design, pedal: object) -> str:
    """Return a pedal's name that the design has.

    Raises
    ------
    DesignError
    """
    if isinstance(pedal, str) and pedal in design.pedals:
        return pedal
    wrong = f"there is no pedal {_shown(pedal)}."
    right = f"This design has {', '.join(design.pedals)}."
    raise refused("pedal", wrong, right, design.file)


def places(at: Any) -> NDArray[np.float64]:
    """Return places of the travel, mm from rest, in the order given.

    Raises
    ------
    DesignError
    """
    right = "Give millimetres from rest, 0 or more: at=[0, 10, 20]."
    single = isinstance(at, str | bytes | Mapping) or not isinstance(at, Iterable)
    if single:
        raise refused("at", f"{_shown(at)} is no row of places.", right)
    row = list(at)
    bad = [each for each in row if not _is_place(each)]
    if bad:
        raise refused("at", f"{_shown(bad[0])} is no place of the travel.", right)
    return np.array(row, float)


def _is_place(each: object) -> bool:
    return _is_number(each) and 0.0 <= float(each) < MOST_TRAVEL  # type: ignore[arg-type]


def _is_number(each: object) -> bool:
    return not isinstance(each, bool) and isinstance(each, Real) and isfinite(each)


def whole(key: str, number: Any, least: int, most: int | None, right: str) -> int:
    """Return a whole number within bounds.

    Raises
    ------
    DesignError
    """
    good = isinstance(number, Integral) and not isinstance(number, bool)
    if good and least <= number and (most is None or number <= most):
        return int(number)
    raise refused(key, f"{_shown(number)} will not do.", right)


def count(positions: Any) -> int:
    """Return how many equal steps a sweep has, both ends in.

    Raises
    ------
    DesignError
    """
    right = f"Give a whole number, 2 to {MOST_POSITIONS}."
    return whole("positions", positions, 2, MOST_POSITIONS, right)


def step(mark: Any) -> float | None:
    """Return a step to mark out by, mm, or None.

    Raises
    ------
    DesignError
    """
    if mark is None or (_is_number(mark) and 0.0 < mark <= MOST_STEP):
        return None if mark is None else float(mark)
    right = f"Give more than 0, up to {MOST_STEP:g} mm: 0.5, say."
    raise refused("mark", f"{_shown(mark)} is no step to mark out by.", right)


def assigned(design: Design, values: Mapping[str, Any]) -> None:
    """Refuse numbers for what the design has not, and what is no number.

    Raises
    ------
    DesignError
    """
    for path, number in values.items():
        if path not in design.values:
            right = f"It has {', '.join(list(design.values)[:12])} ..."
            wrong = f"{_shown(path)} is no value of this design."
            raise refused("values", wrong, right, design.file)
        if isinstance(number, Real) and not _is_number(number):
            right = "Give a number in mm or rad."
            raise refused("values", f"{path}: {number} is no number.", right)


def one_of(key: str, word: Any, words: Sequence[str]) -> str:
    """Return a word that is one of some.

    Raises
    ------
    DesignError
    """
    if isinstance(word, str) and word in words:
        return word
    right = f"There are {', '.join(words)}."
    raise refused(key, f"{_shown(word)} is none that is known.", right)


def _shown(thing: object) -> str:
    """Return a thing as Python writes it, quoted as messages are, at most so long."""
    text = f'"{thing}"' if isinstance(thing, str) else repr(thing)
    return text if len(text) <= 40 else f"{text[:37]}..."
