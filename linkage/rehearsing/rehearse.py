"""A brake with each failure: where the pad ends, what ends first, what is left."""

import numpy as np
from msgspec import Struct

from linkage.car.drive import drive_faults
from linkage.car.meeting import Meeting, meet
from linkage.car.rig import Rig, State, rig_of
from linkage.car.stopping import RULES
from linkage.design.records import Design
from linkage.faults import DesignError
from linkage.footwell.clearance import Clearance, clearances
from linkage.rehearsing.cases import AIR, KNOCKED, Case, cases_of
from linkage.rehearsing.spent import held_at, named_end, pad_at_end
from linkage.sweeping import standing
from linkage.units import BY_NAME
from solvers.jet import value
from solvers.monotone import rises_to

#: N, 100 lbf: a usual greatest effort (common practice, no source).
GREATEST = 100.0 * float(BY_NAME["lbf"].factor)
#: Of an effort, so little is not missed.
_NEARLY = 1e-6


_STOP, BAR_STOPS = "the pad is at its stop", "the bar is at its stop"


class First(Struct, frozen=True, kw_only=True):
    """What ends or touches first where the pedal is pressed on: in words, and where, mm."""

    what: str
    travel: float


class Outcome(Struct, frozen=True, kw_only=True, eq=False):
    """A brake with one failure, pressed with the greatest effort or as far as it goes.

    Attributes
    ----------
    case : Case
    rig : Rig
    level : float
        N; see `linkage.car.pistons`.
    state : State
        Everything, each of shape (1,).
    reach : float
        What the pad has to its stop, or to what it touches, mm.
    stopped : str
        What ends before the effort is reached; empty where it is.
    first : First
    locked : tuple of str
        The axles that have locked.
    meeting : Meeting or None
        Against the rule of the case; None without a car.
    """

    case: Case
    rig: Rig
    level: float
    state: State
    reach: float
    stopped: str
    first: First
    locked: tuple[str, ...]
    meeting: Meeting | None

    @property
    def effort(self) -> float:
        """Return the foot's push, N."""
        return float(self.state.foot.effort[0])

    @property
    def travel(self) -> float:
        """Return where the pad is, mm: no farther than what it touches.

        A dead piston may run farther before there is any pressure at all.
        """
        return min(float(self.state.foot.travel[0]), self.first.travel)

    @property
    def share(self) -> float:
        """Return how much of the pad's way that is, per cent."""
        return self.part(self.travel)

    def part(self, travel: float) -> float:
        """Return a travel in per cent of the pad's way: all of it where there is none."""
        return 100.0 * travel / self.reach if self.reach > 0.0 else 100.0

    @property
    def z(self) -> float | None:
        """Return the deceleration, g0; None without a car."""
        return None if self.state.car is None else float(self.state.car.z[0])

    @property
    def missed(self) -> str:
        """Return why the rule is not met, in words; empty where it is."""
        return "" if self.meeting is None else self.meeting.missed


class Skipped(Struct, frozen=True, kw_only=True):
    """A failure that is not rehearsed, and why."""

    case: Case
    why: str


class Rehearsal(Struct, frozen=True, kw_only=True, eq=False):
    """All failures of one brake.

    Attributes
    ----------
    pedal : str
    foot : float
        The greatest effort, N.
    reach : float
        What the pad has to its stop, or to what it touches, mm.
    counted : str
        What ends it: "the pad is at its stop", "the arm meets the bulkhead".
    outcomes : tuple of Outcome
        All well first.
    skipped : tuple of Skipped
    """

    pedal: str
    foot: float
    reach: float
    counted: str
    outcomes: tuple[Outcome, ...]
    skipped: tuple[Skipped, ...]

    @property
    def misses(self) -> tuple[Outcome, ...]:
        """Return those that miss what a regulation asks."""
        return tuple(each for each in self.outcomes if each.missed)


def rehearse(
    design: Design,
    pedal: str,
    foot: float = GREATEST,
    *,
    knocked: float = KNOCKED,
    air: float = AIR,
) -> Rehearsal:
    """Return what each failure makes of a brake.

    Parameters
    ----------
    foot : float
        The greatest effort, N.
    knocked : float
        What pads are knocked back by, mm.
    air : float
        In each circuit, mm3.

    Raises
    ------
    DesignError
        The pedal cannot stand at rest, or fills no circuits.
    """
    owner = design.pedals[pedal]
    faults = list(drive_faults(design, owner))
    if faults:
        raise DesignError(faults)
    touch = _touch(design, pedal)
    outcomes, skipped = [], []
    for case in cases_of(design, owner, knocked=knocked, air=air):
        try:
            rig = named_end(
                rig_of(
                    design, pedal, values=case.values, dead=case.dead, lost=case.lost
                )
            )
        except DesignError as error:
            if case.name == "all well":
                raise
            skipped.append(Skipped(case=case, why=error.faults[0].wrong))
            continue
        outcomes.append(_outcome(case, rig, touch, foot))
    reach, counted = _reach(outcomes[0].rig, touch)
    return Rehearsal(
        pedal=pedal,
        foot=foot,
        reach=reach,
        counted=counted,
        outcomes=tuple(outcomes),
        skipped=tuple(skipped),
    )


def _touch(design: Design, pedal: str) -> Clearance | None:
    """Return what arm, pad, rod or shoe touches first on its way; None for nothing."""
    rest = standing(design, pedal)
    try:
        near = clearances(rest, float(np.ravel(value(rest.travel))[0]))
    except DesignError:  # no arm can be shaped: check says so
        return None
    met = [each for each in near if each.touch is not None]
    return min(met, key=lambda each: each.touch or 0.0, default=None)


def _reach(rig: Rig, touch: Clearance | None) -> tuple[float, str]:
    if touch is None or touch.touch is None or touch.touch >= rig.travel:
        return rig.travel, _STOP
    return touch.touch, f"the {touch.part} meets {touch.thing}"


def _outcome(case: Case, rig: Rig, touch: Clearance | None, foot: float) -> Outcome:
    reach, counted = _reach(rig, touch)
    first = _first(rig, reach, counted)
    if first.what == counted and touch is not None and reach < rig.travel:
        rig = held_at(rig, _level_of(rig, first.travel), counted)
    level = float(rig.level_of_foot(foot))
    state = rig.state(np.array([level]))
    short = float(state.foot.effort[0]) < foot * (1.0 - _NEARLY)
    return Outcome(
        case=case,
        rig=rig,
        level=level,
        state=state,
        reach=reach,
        stopped=first.what if short else "",
        first=first,
        locked=tuple(
            lock.axle for lock in rig.locks() if lock.level <= level * (1.0 + 1e-9)
        ),
        meeting=None if rig.road is None else meet(rig, RULES[case.rule]),
    )


def _first(rig: Rig, reach: float, counted: str) -> First:
    at = pad_at_end(rig)
    if reach < at:
        return First(what=counted, travel=reach)
    what = {
        "pedal at its end": _STOP,
        "cylinder at its end": "the piston is at its end",
        "bar at its stop": BAR_STOPS,
    }[rig.ends]
    return First(what=what, travel=at)


def _level_of(rig: Rig, travel: float) -> float:
    """Return the level at which the pad is at a place, at most the top, N."""

    def pad(level: np.ndarray) -> np.ndarray:
        return np.asarray(rig.state(np.atleast_1d(level)).foot.travel)

    top = float(pad(np.array([rig.top]))[0])
    if travel >= top:
        return rig.top
    return float(np.ravel(rises_to(pad, np.array([travel]), 0.0, rig.top))[0])
