"""One pedal under load: what the foot feels, and every force of the train.

A pedal is looked at twice at every place: while it is pressed, and on its way home.
Friction holds back either way, so the two differ by the hysteresis.
"""

from collections.abc import Iterator, Sequence
from typing import Literal

import numpy as np
from msgspec import Struct

from linkage.design.records import Design, Pedal
from linkage.faults import DesignError, Fault
from linkage.loads.burden import Burden, area_of, burden_of, friction_faults
from linkage.loads.equilibrium import Load, forces
from linkage.loads.foot import Push, hip_faults, hip_of
from linkage.loads.marks import Mark, marks_of
from linkage.loads.returning import Return, returning
from linkage.motion.ends import Limit, find_limit
from linkage.motion.rest import PedalRest
from linkage.motion.run import move
from linkage.parts.cylinder import Cylinder
from linkage.pressing.columns import loaded_columns
from linkage.sweeping import Series, standing
from solvers.jet import value

#: What may be stated: the foot's push (N), the force at the end (N), the pressure of a
#: cylinder, of a bar its front one (MPa), or the torque on what the train turns (N mm).
Stated = Literal["foot", "end", "pressure", "torque"]


class Stop(Struct, frozen=True, kw_only=True):
    """Where a pedal can go no further: a limit of the linkage, or a solid spring."""

    kind: str
    travel: float
    why: str


class Loaded(Struct, frozen=True, kw_only=True, eq=False):
    """A pedal with what is stated of it, ready to be looked at in any place.

    Attributes
    ----------
    of, size : str, float
        What is stated; N, MPa or N mm.
    hip : complex or None
        The point that the leg pushes from; None for a push along the pad's path.
    rest : PedalRest
    burden : Burden
    limit : Stop or None
        Where the motion ends before the travel that was asked for.
    marks : tuple of Mark
        Where a force jumps or a spring changes its state.
    back : Return
        The pedal let go at full travel, with nothing at the end of its train.
    """

    of: Stated
    size: float
    hip: complex | None
    rest: PedalRest
    burden: Burden
    limit: Stop | None
    marks: tuple[Mark, ...]
    back: Return

    @property
    def travel(self) -> float:
        """Return the travel from rest to full, mm."""
        return whole_of(self.rest)

    @property
    def push(self) -> Push:
        """Return which way the foot pushes."""
        return "path" if self.hip is None else "leg"

    @property
    def full(self) -> float | None:
        """Return where the piston is at its end, mm; None where it never gets there.

        No limit: the linkage would go on, but what follows is metal on metal, and no
        fluid has a pressure from a force any more.
        """
        marks = (mark.travel for mark in self.marks if mark.what == "cylinder full")
        return next(marks, None)

    def columns(self, places: Sequence[float]) -> dict[str, Series]:
        """Return every column at places of the travel, mm; none from its end on."""
        at = np.array(places, float)
        if self.limit is not None:
            at = at[at < self.limit.travel]
        if self.full is not None:
            at = at[at <= self.full]
        areas, size = bore_areas(self.rest), self.size
        load = Load(of=_OF[self.of], size=size)
        if self.of == "pressure":
            of: Literal["front", "end"] = "front" if self.rest.bar else "end"
            load = Load(of=of, size=size * (areas[0] or 0.0))
        run = move(self.rest, at)
        there, home = (
            forces(run, self.burden, load, way=way, hip=self.hip) for way in (1.0, -1.0)
        )
        return loaded_columns(at, there, home, areas, self.burden)


_OF: dict[Stated, Literal["foot", "end", "torque"]] = {
    "foot": "foot",
    "end": "end",
    "pressure": "end",
    "torque": "torque",
}


def load_pedal(
    design: Design,
    pedal: str,
    of: Stated,
    size: float,
    *,
    push: Push | None = None,
    upto: float = 0.0,
) -> Loaded:
    """Return a pedal with its load.

    Parameters
    ----------
    upto : float
        The limit is looked for this far, where that is beyond full travel, mm.

    Raises
    ------
    DesignError
        The pedal cannot stand at rest, or has nothing that takes such a load.
    """
    rest = standing(design, pedal)
    hip = hip_of(design, push)
    faults = [*friction_faults(rest), *_misfits(design, rest, of, hip)]
    if faults:
        raise DesignError(faults)
    whole, burden = whole_of(rest), burden_of(rest)
    bare, far = find_limit(rest, max(whole, upto)), max(whole, upto)
    marks = marks_of(rest, burden, far if bare is None else bare.travel)
    limit = _stop(bare, marks)
    full = whole if limit is None else min(whole, limit.travel)
    return Loaded(
        of=of,
        size=size,
        hip=hip,
        rest=rest,
        burden=burden,
        limit=limit,
        marks=tuple(mark for mark in marks if mark.travel <= full),
        back=returning(rest, burden, full),
    )


def _stop(bare: Limit | None, marks: tuple[Mark, ...]) -> Stop | None:
    """Return the first place where the motion ends; marks are in order."""
    solid = next((mark for mark in marks if mark.what == "spring solid"), None)
    if solid is not None:
        why = f"the coils of {solid.part.replace('.', ' ')} touch"
        return Stop(kind="spring solid", travel=solid.travel, why=why)
    if bare is None:
        return None
    return Stop(kind=bare.kind, travel=bare.travel, why=bare.why)


def usual_push(pedal: Pedal) -> float:
    """Return what a foot pushes with where nothing is stated, N.

    500 N on a brake, the most that FMVSS 135 S7.5 lets a test driver use; else 100 N.
    """
    return 500.0 if pedal.duty == "brake" else 100.0


def whole_of(rest: PedalRest) -> float:
    """Return the travel of a single pedal, mm."""
    return float(np.ravel(value(rest.travel))[0])


# ------------------------------------------------------------------ what is stated


def _misfits(
    design: Design, rest: PedalRest, of: Stated, hip: complex | None
) -> Iterator[Fault]:
    """Say why a load does not fit this pedal."""
    wrong = _misfit(rest, of)
    if wrong is not None:
        yield Fault(
            file=design.file, line=rest.pedal.line, key=rest.pedal.name, **wrong
        )
    yield from hip_faults(rest, hip)


def _misfit(rest: PedalRest, of: Stated) -> dict[str, str] | None:
    train = rest.pedal.train
    if of == "foot":
        return None
    last = train[-1] if train else None
    if last is None:
        return {"wrong": "it has no train to load.", "right": "State the foot's push."}
    if of == "pressure" and None in (bore_areas(rest) or [None])[:1]:
        if isinstance(last, Cylinder):
            return {
                "wrong": "a pressure needs the bore.",
                "right": 'Write bore = "3/4 in" into its cylinder, or state a force.',
            }
        return {
            "wrong": f"its train ends in a {last.KIND}, which has no pressure.",
            "right": "State a force.",
        }
    if of == "torque" and last.KIND not in ("lever", "quadrant"):
        return {
            "wrong": f"its train ends in a {last.KIND}, which turns nothing.",
            "right": "State a force.",
        }
    return None


def bore_areas(rest: PedalRest) -> list[float | None]:
    """Return the area of each piston that ends a train, mm2; None where not known."""
    ends = rest.pedal.train[-1 if rest.bar is None else -2 :]
    return [_area(rest, end) for end in ends if isinstance(end, Cylinder)]


def _area(rest: PedalRest, end: Cylinder) -> float | None:
    if end.bore is None:
        return None
    gland = 0.0 if end.gland is None else end.gland.nominal
    return area_of(float(value(rest.places.number(end.bore))), gland)
