"""The columns of a pedal under load: pressing, and what differs on the way home."""

from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linkage.loads.burden import Burden
from linkage.loads.equilibrium import Forces
from linkage.sweeping import Series


def loaded_columns(
    places: NDArray[np.float64],
    there: Forces,
    home: Forces,
    areas: Sequence[float | None],
    burden: Burden,
) -> dict[str, Series]:
    """Return every column, by name.

    Parameters
    ----------
    places : ndarray, shape (n,)
        Of the travel, mm.
    there, home : Forces
        Pressing, and on the way home.
    areas : sequence of float or None
        Of each piston at the end, mm2.
    burden : Burden
    """
    found = {"travel": Series(unit="mm", values=places)}
    pressing = dict(_named(there, areas, burden))
    for name, (unit, values) in pressing.items():
        found[name] = Series(unit=unit, values=_shown(values, places))
    for name, (unit, values) in _named(home, areas, burden):
        shown = _shown(values, places)
        if not name.startswith("spring") and unit != "1":
            found[f"{name}_returning"] = Series(unit=unit, values=shown)
    return found


def _named(
    found: Forces, areas: Sequence[float | None], burden: Burden
) -> Iterator[tuple[str, tuple[str, Any]]]:
    """Yield every quantity as (name, (unit, values))."""
    yield "effort", ("N", found.effort)
    train = found.run.rest.pedal.train
    for part, size, tie in zip(train, found.ties, found.links, strict=True):
        branch = f"{part.branch}_" if part.branch else ""
        number = "" if branch or part is train[-1] else f"_{part.number}"
        signed = size * tie.pushed if tie.kind == "rod" else size
        yield f"{branch}{tie.kind}{number}_force", ("N", signed)
    last = train[len(train) - len(found.sides) :]
    ends = found.ends or [found.end] * len(last)
    for part, end, side, area in zip(last, ends, found.sides, areas, strict=True):
        branch = f"{part.branch}_" if part.branch else ""
        yield f"{branch}piston_force", ("N", end)
        yield f"{branch}side_force", ("N", side)
        if area is not None:
            yield f"{branch}pressure", ("MPa", end / area)
    if found.torque is not None:
        yield "end_torque", ("N mm", found.torque)
    yield "pivot_force", ("N", np.abs(found.pivots[0]))
    yield "pivot_force_x", ("N", np.real(found.pivots[0]))
    yield "pivot_force_z", ("N", np.imag(found.pivots[0]))
    levers = [part for part in train if part.KIND in ("lever", "quadrant")]
    for part, pivot in zip(levers, found.pivots[1:], strict=True):
        yield f"train_{part.number}_pivot_force", ("N", np.abs(pivot))
    for n, spring in enumerate(burden.springs, 1):
        name, unit, size = spring.shown(found.run)
        yield f"spring_{n}_{name}", (unit, size)


def _shown(v: Any, places: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.broadcast_to(np.asarray(v, float), places.shape) + 0.0  # no minus zero
