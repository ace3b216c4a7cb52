"""Where along the travel a command looks: ``--at`` and ``--positions``."""

import re

from linkage.faults import DesignError, Fault

_UNIT = re.compile("[^0-9 .,/+-]\\s*$")


def places_of(
    file: str, at: str | None, positions: int | None
) -> tuple[list[float] | None, int]:
    """Read both options.

    Returns
    -------
    places : list of float or None
        mm, in the order of ``--at``; None where it is left out.
    count : int
        Equal steps, both ends in.

    Raises
    ------
    DesignError
        What is no place or no count, or both options at once.
    """
    places, count = _places(file, at), _count(file, positions)
    if at is not None and positions is not None:
        wrong, right = "says where, and so does --at.", "Give one of them."
        raise DesignError(
            [Fault(file=file, key="--positions", wrong=wrong, right=right)]
        )
    return places, count


def _places(file: str, at: str | None) -> list[float] | None:
    """Read ``--at 0,10,20`` or ``--at "1 in,2 in"``, in any order, from 0 up."""
    if at is None:
        return None
    from linkage.arguments import MOST_TRAVEL

    faults, found = [], []
    for word in at.split(","):
        number = _place(word)
        if 0.0 <= number < MOST_TRAVEL:
            found.append(number)
        else:
            wrong = f'"{word.strip()}" is no place of the travel.'
            right = 'Write millimetres from rest, for instance --at 0,10,20, or --at "1 in".'
            faults.append(Fault(file=file, key="--at", wrong=wrong, right=right))
    if faults:
        raise DesignError(faults)
    return found


def _place(word: str) -> float:
    """Return one place, mm: a bare number is mm, others say their unit; -1 for none."""
    try:
        return float(word)
    except ValueError:
        return _with_unit(word) if _UNIT.search(word) else -1.0


def _with_unit(word: str) -> float:
    from linkage.design.grammar import read_number
    from linkage.design.terms import Misread
    from linkage.units import Measure

    try:
        value = read_number(word, Measure.LENGTH)
    except Misread:
        return -1.0
    plain = value.kind == "fixed" and value.give is None and not value.guess
    return value.nominal if plain else -1.0


def _count(file: str, positions: int | None) -> int:
    from linkage.arguments import MOST_POSITIONS
    from linkage.sweeping import POSITIONS

    if positions is None:
        return POSITIONS
    if not 2 <= positions <= MOST_POSITIONS:
        wrong = f"{positions} positions make no sweep."
        right = f"Write 2 to {MOST_POSITIONS}."
        raise DesignError(
            [Fault(file=file, key="--positions", wrong=wrong, right=right)]
        )
    return positions
