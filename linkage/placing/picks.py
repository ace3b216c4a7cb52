"""Every way to choose: each choice of numbers and names of a group, in file order."""

import math
from collections.abc import Mapping
from itertools import product

from msgspec import Struct

from linkage.design.frees import Group
from linkage.design.records import Chosen, Design
from linkage.faults import DesignError, Fault

#: More ways than this are not tried one by one.
MOST_WAYS = 400


class Pick(Struct, frozen=True, kw_only=True):
    """One way to choose, by path: numbers in internal units, names as written."""

    numbers: Mapping[str, float]
    names: Mapping[str, str]


def picks(design: Design, group: Group) -> tuple[Pick, ...]:
    """Return every way to choose; one empty way where nothing is to be chosen.

    Raises
    ------
    DesignError
        Where there are too many.
    """
    lists: list[tuple[str | float, ...]] = [
        each.names if isinstance(each, Chosen) else each.options for each in group.picks
    ]
    count = math.prod(len(each) for each in lists)
    if count > MOST_WAYS:
        raise DesignError(
            [
                Fault(
                    file=design.file,
                    line=group.picks[0].line,
                    key="one_of",
                    wrong=f"these choices can be made in {count} ways.",
                    right=f"Cross some out, down to {MOST_WAYS} ways.",
                )
            ]
        )
    return tuple(_pick(group, way) for way in product(*lists))


def _pick(group: Group, way: tuple[str | float, ...]) -> Pick:
    pairs = [(each.path, one) for each, one in zip(group.picks, way, strict=True)]
    return Pick(
        numbers={path: one for path, one in pairs if not isinstance(one, str)},
        names={path: one for path, one in pairs if isinstance(one, str)},
    )
