"""Targets as rows: what each looks at, where, and the band that it wants.

A target at one place is one row. Over a stretch it is up to four: both ends, the
greatest and the smallest value between, since any of them may be the one that
decides; of a quantity that is itself the farthest from 0, that one. Numbers are internal: mm, rad, per cent.
"""

from collections.abc import Mapping
from typing import Literal

import numpy as np
from msgspec import Struct

from linkage.design.grammar import read_number
from linkage.design.quantity_names import NAMES, WITHIN
from linkage.design.records import Design, Target
from linkage.quantities.register import QUANTITIES
from linkage.units import BY_NAME, Measure

Where = Literal["low", "high", "most", "least", "farthest"]

#: The size of a miss that counts as one, for each measure; internal units.
UNIT: Mapping[Measure, float] = {
    measure: read_number(text, measure).nominal for measure, text in WITHIN.items()
}


class Row(Struct, frozen=True, kw_only=True):
    """One number that a layout has, for one target.

    Attributes
    ----------
    where : str
        "low" or "high": the ends of the stretch (a single place is "low"); "most" or
        "least": the extreme of the stretch; "farthest": the value farthest from 0.
    low, high : float
        The band.
    """

    where: Where
    low: float
    high: float


class Wish(Struct, frozen=True, kw_only=True):
    """One target of one pedal.

    Attributes
    ----------
    size : bool
        True where the rows hold the size, not the signed value.
    mirrored : bool
        True where the size counts and the rows hold the signed value.
    unit : float
        What counts as a miss of one: ``within``, or its default.
    rows : tuple of Row
        For ``prefer``: open bands.
    """

    pedal: str
    target: Target
    size: bool
    mirrored: bool
    unit: float
    rows: tuple[Row, ...]

    @property
    def label(self) -> tuple[str, int]:
        """Return the pedal and the target's number."""
        return self.pedal, self.target.number

    @property
    def soft(self) -> bool:
        """Return True for ``prefer``."""
        return self.target.prefer is not None


def wish_of(pedal: str, target: Target) -> Wish:
    """Return a target as rows."""
    by_size = QUANTITIES[target.of].by_size and target.exact is None
    mirrored = by_size and target.least is None and target.prefer != "large"
    return Wish(
        pedal=pedal,
        target=target,
        size=by_size and not mirrored,
        mirrored=mirrored,
        unit=target.within or UNIT[NAMES[target.of]],
        rows=_rows(target, mirrored=mirrored),
    )


def wishes_of(design: Design, pedals: tuple[str, ...]) -> tuple[Wish, ...]:
    """Return the targets of some pedals, in file order."""
    return tuple(
        wish_of(name, target)
        for name in pedals
        for target in design.pedals[name].targets
    )


def band_of(target: Target, *, mirrored: bool = False) -> tuple[float, float]:
    """Return the band of a target; ``mirrored``: of a size, for the signed value."""
    if target.exact is not None and target.within is not None:
        return target.exact - target.within, target.exact + target.within
    low = -np.inf if target.least is None else target.least
    high = np.inf if target.most is None else target.most
    return (-high, high) if mirrored else (low, high)


def _rows(target: Target, *, mirrored: bool) -> tuple[Row, ...]:
    low, high = band_of(target, mirrored=mirrored)
    if target.at.single:
        return (Row(where="low", low=low, high=high),)
    if QUANTITIES[target.of].farthest:
        return (Row(where="farthest", low=low, high=high),)
    up = high < np.inf or target.prefer == "small"
    down = low > -np.inf or target.prefer == "large" or (mirrored and up)
    rows = [Row(where=end, low=low, high=high) for end in ("low", "high")]
    if up:
        rows.append(Row(where="most", low=-np.inf, high=high))
    if down:
        rows.append(Row(where="least", low=low, high=np.inf))
    return tuple(rows)


#: JSON's units that are not the internal ones, and how large they are.
_SIZES: Mapping[str, float] = {
    unit: float(BY_NAME[unit].factor) for unit in ("deg", "g0")
}


def outward(value: float, unit: str) -> float:
    """Return an internal number in JSON's unit: mm, deg, %, N, MPa, g0 or 1."""
    return value / _SIZES.get(unit, 1.0)


def inward(value: float, unit: str) -> float:
    """Return a number in JSON's unit as an internal one."""
    return value * _SIZES.get(unit, 1.0)
