"""Whether one pedal, in plain numbers, meets its targets: exactly, not on a grid."""

from collections.abc import Callable, Mapping

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from linkage.design.records import Design, Target
from linkage.motion.ends import find_ends, find_limit
from linkage.motion.rest import PedalRest, at_rest
from linkage.motion.run import move
from linkage.places import NOTHING, Places
from linkage.placing.gauge import ends
from linkage.placing.wishes import Wish, band_of, wish_of
from linkage.quantities.loaded import fluid_of, told
from linkage.quantities.register import QUANTITIES, is_loaded
from solvers.jet import value

Array = NDArray[np.float64]
#: A value, and the travel of the pad at which it is.
Spot = tuple[float, float]

FINE = 257
ZOOM = 17
#: Numbers as written are judged with this share of a unit of forbearance: rounding.
GRACE = 1e-9


class Judged(Struct, frozen=True, kw_only=True):
    """What one target got.

    Attributes
    ----------
    got : float or None
        The value that decides, signed, internal units; None where it has none.
    met : bool
        For ``prefer`` True wherever there is a value.
    margin : float
        Distance to unmet in units of ``within`` or its default; below 0 where unmet,
        infinite for ``prefer``.
    travel : float or None
        Of the pad, mm, where that value is; None where there is none.
    """

    pedal: str
    target: Target
    got: float | None
    met: bool
    margin: float
    travel: float | None = None


def obstacle(rest: PedalRest) -> str | None:
    """Return what keeps a layout from being an answer, whatever its targets.

    It must stand at rest, make its whole travel, and overrun no cylinder.
    """
    if not np.all(rest.sound()):
        return _why_unsound(rest)
    whole = float(np.ravel(value(rest.travel))[0])
    limit = find_limit(rest, whole)
    if limit is not None:
        return f"{limit.kind} after {limit.travel:.1f} mm of pad"
    for end in find_ends(rest, whole):
        if end.what == "cylinder full" and end.travel < whole * (1.0 - 1e-9):
            return f"the cylinder is full after {end.travel:.1f} mm of pad"
    return None


def _why_unsound(rest: PedalRest) -> str:
    missing, faults = rest.missing(), rest.faults()
    if missing is None and faults:
        return faults[0].wrong
    return missing or "it cannot stand at rest"


def standing_of(
    design: Design,
    pedal: str,
    values: Mapping[str, float] = NOTHING,
    names: Mapping[str, str] = NOTHING,
) -> PedalRest:
    """Return a pedal at rest, sound or not."""
    with np.errstate(divide="ignore", invalid="ignore"):
        return at_rest(Places(design, values, names), design.pedals[pedal])


def judge(rest: PedalRest) -> tuple[Judged, ...]:
    """Judge every target of a pedal at rest."""
    return tuple(judge_one(rest, target) for target in rest.pedal.targets)


def judge_one(rest: PedalRest, target: Target, travel: float | None = None) -> Judged:
    """Judge one target: over a stretch by its refined extremes, or at a place of it.

    ``travel`` is that place, mm of pad; beyond the stretch its nearer end counts.
    """
    wish = wish_of(rest.pedal.name, target)
    with np.errstate(divide="ignore", invalid="ignore"):
        got, at = _got(rest, wish, travel) or (None, None)
    margin = -np.inf if got is None else _margin(target, got, size=_by_size(target))
    return Judged(
        pedal=rest.pedal.name,
        target=target,
        got=got,
        met=got is not None and margin >= -GRACE,
        margin=margin,
        travel=at,
    )


def _by_size(target: Target) -> bool:
    return QUANTITIES[target.of].by_size and target.exact is None


def _margin(target: Target, got: float, *, size: bool) -> float:
    unit = wish_of("", target).unit
    low, high = band_of(target)
    size_of = abs(got) if size else got
    return float(min(size_of - low, high - size_of) / unit)


def _got(rest: PedalRest, wish: Wish, travel: float | None) -> Spot | None:
    """Return the value that decides, and where it is."""
    target = wish.target
    if is_loaded(target):
        fluid = fluid_of(rest.places, rest.pedal, target.case)
        spot = [float(np.ravel(each)[0]) for each in told(rest, target, fluid)]
        return None if np.isnan(spot[0]) else (spot[0], spot[1])
    law = QUANTITIES[target.of].law

    def f(x: Array) -> Array:
        y = np.asarray(law(move(rest, x), target).v, float)
        return np.broadcast_to(y, x.shape).copy()

    low, high = (float(np.ravel(end)[0]) for end in ends(rest, target))
    whole = float(np.ravel(value(rest.travel))[0])
    if high > whole * (1.0 + 1e-9):
        return None
    if target.at.single or travel is not None:
        at = low if travel is None else float(np.clip(travel, low, high))
        found = float(f(np.array([at]))[0])
        return None if np.isnan(found) else (found, at)
    return _decisive(f, low, high, target)


def _decisive(
    f: Callable[[Array], Array], low: float, high: float, target: Target
) -> Spot | None:
    """Return the value of a stretch that a target is judged by, and where it is."""
    if QUANTITIES[target.of].farthest:
        return _extreme(f, np.abs, low, high)
    size = _by_size(target)
    keys: list[Callable[[Array], Array]] = []
    if target.exact is not None:
        exact = target.exact
        keys.append(lambda y: np.abs(y - exact))
    if target.most is not None or target.prefer == "small":
        keys.append(np.abs if size else lambda y: y)
    if target.least is not None or target.prefer == "large":
        keys.append((lambda y: -np.abs(y)) if size else np.negative)
    found = [_extreme(f, key, low, high) for key in keys]
    values = [each for each in found if each is not None]
    if not values:
        return None
    return min(values, key=lambda spot: _margin(target, spot[0], size=size))


def _extreme(
    f: Callable[[Array], Array],
    key: Callable[[Array], Array],
    low: float,
    high: float,
) -> Spot | None:
    """Return the value where ``key`` of it is greatest, and where; nan is passed over."""
    x = np.linspace(low, high, FINE)
    best: Spot | None = None
    for _ in range(12):
        y = f(x)
        rank = key(y)
        rank = np.where(np.isnan(rank), -np.inf, rank)
        k = int(np.argmax(rank))
        if rank[k] == -np.inf:
            return best
        best = float(y[k]), float(x[k])
        left, right = float(x[max(k - 1, 0)]), float(x[min(k + 1, len(x) - 1)])
        if right - left <= 1e-9 * (high - low):
            break
        x = np.sort(np.append(np.linspace(left, right, ZOOM), x[k]))
    return best
