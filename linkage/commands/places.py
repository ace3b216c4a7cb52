"""Where along the travel a command looks: ``--at`` and ``--positions``."""

from linkage.faults import DesignError, Fault


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
    """Read ``--at 0,10,20``: mm, in any order, from 0 up."""
    if at is None:
        return None
    faults, found = [], []
    for word in at.split(","):
        try:
            number = float(word)
        except ValueError:
            number = -1.0
        if 0.0 <= number < 1e6:
            found.append(number)
        else:
            wrong = f'"{word.strip()}" is no place of the travel.'
            right = "Write millimetres from rest, for instance --at 0,10,20."
            faults.append(Fault(file=file, key="--at", wrong=wrong, right=right))
    if faults:
        raise DesignError(faults)
    return found


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
