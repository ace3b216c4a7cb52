"""One pedal through its arc: every column, the first limit, what is used up."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from linkage import arguments
from linkage.design.records import Design
from linkage.faults import DesignError
from linkage.motion.ends import End, Limit, find_ends, find_limit
from linkage.motion.rest import PedalRest, at_rest
from linkage.motion.run import Run, move
from linkage.places import NOTHING, Places
from linkage.quantities.register import Column, columns
from solvers.jet import value

POSITIONS = 41
_DEGREES = 180.0 / np.pi


class Series(Struct, frozen=True, kw_only=True, eq=False):
    """One column: its JSON unit and its values; nan where it has none."""

    unit: str
    values: NDArray[np.float64]


class Sweep(Struct, frozen=True, kw_only=True, eq=False):
    """A pedal at chosen places of its travel.

    Attributes
    ----------
    pedal : str
    run : Run
        The motion behind the columns: bodies and links at the same places.
    columns : mapping of str to Series
        Each of shape (n,): mm, deg, deg/mm or 1; of a brake with circuits N, MPa and
        g0 besides. Only places before the limit.
    limit : Limit or None
        The first place up to which the motion was asked for where it cannot go on.
    ends : tuple of End
        What is used up on the way.
    """

    pedal: str
    run: Run
    columns: Mapping[str, Series]
    limit: Limit | None
    ends: tuple[End, ...]

    @property
    def rest(self) -> PedalRest:
        """Return what was swept."""
        return self.run.rest

    def __getitem__(self, column: str) -> NDArray[np.float64]:
        """Return the values of a column."""
        return self.columns[column].values


def sweep(
    design: Design,
    pedal: str,
    *,
    at: Sequence[float] | None = None,
    positions: int = POSITIONS,
    values: Mapping[str, Any] = NOTHING,
    choices: Mapping[str, str] = NOTHING,
) -> Sweep:
    """Carry a pedal through its travel.

    Parameters
    ----------
    design : Design
    pedal : str
        Its name in the design.
    at : sequence of float, optional
        Places of the travel, mm; they keep their order and may go beyond the full
        stop.
    positions : int
        Without ``at``: this many equal steps from rest to full, both ends in.
    values, choices : mapping
        Numbers to use in place of the file's, by path, in internal units.

    Returns
    -------
    Sweep

    Raises
    ------
    DesignError
        Where the pedal cannot stand at rest, or pressing works the wrong way; for a
        pedal that is not there, and what is no place or no count.
    """
    wanted = None if at is None else arguments.places(at)
    count = arguments.count(positions)
    arguments.assigned(design, values)
    rest = standing(design, pedal, values=values, choices=choices)
    whole = float(np.ravel(value(rest.travel))[0])
    places = np.linspace(0.0, whole, count) if wanted is None else wanted
    upto = whole if wanted is None else float(np.max(places, initial=0.0))
    limit = find_limit(rest, upto)
    ends = find_ends(rest, upto if limit is None else limit.travel)
    swept = carried(rest, places, limit, ends)
    return swept if choices else loaded(swept, values)


def loaded(swept: Sweep, values: Mapping[str, Any] = NOTHING) -> Sweep:
    """Return a sweep with the columns of a brake whose circuits the file describes.

    Parameters
    ----------
    values : mapping
        Numbers that were used in place of the file's.
    """
    last = swept.rest.pedal.train[-1:]
    if not any(getattr(part, "circuits", None) for part in last):
        return swept
    from linkage.car.along import along

    design = swept.rest.places.design
    more = along(design, swept.pedal, swept["travel"], values=values)
    told = {name: Series(unit=unit, values=each) for name, (unit, each) in more.items()}
    return replace(swept, columns={**swept.columns, **told})


def carried(
    rest: PedalRest,
    places: NDArray[np.float64],
    limit: Limit | None,
    ends: tuple[End, ...],
    seen: Run | None = None,
) -> Sweep:
    """Return the sweep of a pedal whose limit and ends are known.

    Parameters
    ----------
    rest : PedalRest
        Sound.
    places : ndarray
        Of the travel, mm; those from the limit on are left out.
    limit, ends
        What `find_limit` and `find_ends` return.
    seen : Run, optional
        The pedal at all these places, where it was carried there already.
    """
    if limit is not None:
        places = places[places < limit.travel]
        seen = None
    run = move(rest, places) if seen is None else seen
    with np.errstate(divide="ignore", invalid="ignore"):
        found = {
            column.name: Series(
                unit=column.unit,
                values=_shown(column.law(run).v, column, places),
            )
            for column in columns(rest.pedal)
        }
    return Sweep(pedal=rest.pedal.name, run=run, columns=found, limit=limit, ends=ends)


def standing(
    design: Design,
    pedal: str,
    *,
    values: Mapping[str, Any] = NOTHING,
    choices: Mapping[str, str] = NOTHING,
) -> PedalRest:
    """Return a pedal at rest, sound.

    Raises
    ------
    DesignError
        With every reason why it cannot stand or work.
    """
    own = design.pedals[arguments.named(design, pedal)]
    rest = at_rest(Places(design, values, choices), own)
    faults = rest.faults()
    if faults:
        raise DesignError(faults)
    return rest


def _shown(v: Any, column: Column, places: NDArray[np.float64]) -> NDArray[np.float64]:
    shown = np.broadcast_to(np.asarray(v, float), places.shape)
    if column.unit.startswith("deg"):
        shown = shown * _DEGREES
    if column.from_rest:
        shown = np.where(places == 0.0, 0.0, shown)
    return shown + 0.0  # no minus zero


def sweep_document(swept: Sweep) -> dict[str, Any]:
    """Return the JSON document of a sweep; null where a value has no meaning."""
    limit = swept.limit
    more = {}
    design = swept.rest.places.design
    if design.footwell.fixed or design.driver.shoe or len(design.pedals) > 1:
        from linkage.footwell.document import footwell_document

        upto = float(np.max(swept["travel"], initial=0.0))
        more = footwell_document(swept.rest, upto)
    return {
        "pedal": swept.pedal,
        "columns": {
            name: {"unit": series.unit, "values": series.values}
            for name, series in swept.columns.items()
        },
        "limit": limit
        and {"kind": limit.kind, "travel": limit.travel, "why": limit.why},
        "ends": [
            {"what": end.what, "part": end.part, "travel": end.travel}
            for end in swept.ends
        ],
        **more,
    }
