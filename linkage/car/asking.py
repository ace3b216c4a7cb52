"""One question to a brake: a push, a pressure or a deceleration; and all that follows."""

from typing import Literal

import numpy as np
from msgspec import Struct

from linkage.car.axles import Axle, Lock
from linkage.car.budget import Row, Sway, budget, sways
from linkage.car.pistons import Piston, Share
from linkage.car.rig import Rig, State
from linkage.car.road import UTMOST
from linkage.faults import FootwellError

#: What may be asked for: the foot's push (N), the pressure of the circuit nearer the
#: pedal, or of the front on a bar (MPa), or a deceleration (g0).
Stated = Literal["foot", "pressure", "deceleration"]
#: Of what is asked, so little is not missed.
_NEARLY = 1e-6
#: Levels that differ by so small a share are the same.
_ALIKE = 1e-9
#: What a rod moves by while the diaphragm stays where it is in its shell.
_OUTSIDE = ("rod gap", "mounting")
#: Stops with a dead engine that are followed.
STOPS = 4


class Locking(Struct, frozen=True, kw_only=True):
    """An axle that locks, with what the foot does then.

    Attributes
    ----------
    lock : Lock
    effort, travel : float or None
        N and mm; None where the pedal or the cylinder ends before.
    """

    lock: Lock
    effort: float | None
    travel: float | None


class Answer(Struct, frozen=True, kw_only=True, eq=False):
    """What a brake does at what was asked of it, or as near as it comes.

    Attributes
    ----------
    of, size : str, float
        What was asked.
    missed : str
        Why it cannot be had, in words; empty where it can.
    level : float
    state : State
        Everything, each of shape (1,).
    rows : tuple of Row
        Where the pad's travel goes.
    locks : tuple of Locking
    sways : tuple of Sway
        What rests on guesses, most of the pad's travel first.
    vacuums : tuple of float
        What is left of a booster's vacuum after each of `STOPS` stops like this with
        the engine dead, MPa; empty where the file does not say enough.
    """

    rig: Rig
    of: Stated
    size: float
    missed: str
    level: float
    state: State
    rows: tuple[Row, ...]
    locks: tuple[Locking, ...]
    sways: tuple[Sway, ...]
    vacuums: tuple[float, ...]

    @property
    def locked(self) -> tuple[Axle, ...]:
        """Return the axles that have locked, in order."""
        reached = self.level * (1.0 + _ALIKE)
        return tuple(
            each.lock.axle for each in self.locks if each.lock.level <= reached
        )


def ask(rig: Rig, of: Stated, size: float, *, swayed: bool = True) -> Answer:
    """Return what a brake does at a stated push, pressure or deceleration.

    Parameters
    ----------
    rig : Rig
        With a car where a deceleration is asked for.
    size : float
        N, MPa or g0.
    swayed : bool
        False to leave out what the guesses sway.

    Raises
    ------
    FootwellError
        A deceleration, and no car.
    """
    wanted, missed = _wanted(rig, of, size)
    if not missed and wanted > rig.top:
        missed = f"{rig.ends} before that"
    level = min(wanted, rig.top)
    state = rig.state(np.array([level]))
    if of == "foot" and not missed:
        missed = _missed(rig, size, float(state.foot.effort[0]))
    return Answer(
        rig=rig,
        of=of,
        size=size,
        missed=missed,
        level=level,
        state=state,
        rows=budget(rig, level),
        locks=_lockings(rig),
        sways=sways(rig, level) if swayed else (),
        vacuums=_vacuums(rig, state.fluid.shares),
    )


def _vacuums(rig: Rig, shares: tuple[Share, ...]) -> tuple[float, ...]:
    """Return what is left of the vacuum.

    The diaphragm moves with the rod, less what that moves before it meets the booster,
    before the valve opens, and along with the whole booster.
    """
    driven = rig.driven
    if not isinstance(driven, Piston) or driven.booster is None or driven.dead:
        return ()
    air = driven.booster.air
    if air is None:
        return ()
    moved = sum(float(s.moved[0]) for s in shares if s.cause not in _OUTSIDE)
    return air.after(moved - driven.booster.dead_travel, STOPS)


def _wanted(rig: Rig, of: Stated, size: float) -> tuple[float, str]:
    """Return the level that is asked for, and why there is none."""
    if of == "foot":
        return float(rig.level_of_foot(size)), ""
    if of == "pressure":
        return float(rig.driven.level_for(size)), ""
    if rig.road is None:
        raise FootwellError("a deceleration needs the car")
    level = float(rig.road.level_for(rig.driven, size))
    if level < UTMOST:
        return level, ""
    held = float(rig.road.braked(rig.driven, UTMOST).z)
    most = float(rig.road.level_for(rig.driven, held * (1.0 - 1e-12)))
    return most, f"the tyres hold {held:.2f} g0 and no more"


def _missed(rig: Rig, size: float, effort: float) -> str:
    if effort > size * (1.0 + _NEARLY):
        return f"it takes {effort:.0f} N before there is any pressure"
    return f"{rig.ends} before that" if effort < size * (1.0 - _NEARLY) else ""


def _lockings(rig: Rig) -> tuple[Locking, ...]:
    found = rig.locks()
    if not found:
        return ()
    foot = rig.state(np.array([min(lock.level, rig.top) for lock in found])).foot
    rows = zip(found, foot.effort.tolist(), foot.travel.tolist(), strict=True)
    return tuple(
        Locking(
            lock=lock,
            effort=effort if lock.level <= rig.top else None,
            travel=travel if lock.level <= rig.top else None,
        )
        for lock, effort, travel in rows
    )


def usual(rig: Rig) -> tuple[Stated, float]:
    """Return what is asked where nothing is: a hard stop of 0.8 g0, else 7 MPa.

    Both common practice, no source (7 MPa are about the 1000 psi that the trade aims at).
    """
    return ("pressure", 7.0) if rig.road is None else ("deceleration", 0.8)
