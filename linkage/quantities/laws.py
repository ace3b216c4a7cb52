"""The laws of the rigid, unloaded mechanism: functions of a `Run`, jets out.

Angles in rad, lengths in mm, the ratio pure, its change in per cent. ``which`` counts
links, levers or parts from 1 at the arm; None takes the last one.
"""

from typing import Any

import numpy as np

from linkage.motion.run import Run, move
from linkage.parts.moving import Link, Step, sense_of_rate
from solvers.jet import Jet, Late, Parts, lift, reciprocal, times, where
from solvers.planar import between, imag, length, real

LEVERS = ("lever", "quadrant")


def arm_angle(run: Run) -> Jet:
    """Turn of the arm from rest, positive in the pressing sense."""
    return times(run.arm.turn(), run.rest.sense)


def movement(run: Run, which: int | None = None) -> Jet:
    """Movement of what ends the train: rod end, drawn cable, or turn.

    Of a bar its bearing's; with ``which`` that of one of its rods' ends.
    """
    if which is not None:
        return run.steps[which - 1].end()
    if run.last.drawn is not None:
        return run.last.drawn.pull
    return run.end()


def stroke(run: Run, which: int | None = None) -> Jet:
    """Movement of the piston: that of the rod end less the free play."""
    at = -1 if which is None else which - 1
    play = getattr(run.rest.parts[at], "play", 0.0)
    end = run.steps[at].end()
    gap = end if isinstance(play, float) and play == 0.0 else lift(end - play)

    def parts() -> Parts:
        return where(gap.v > 0.0, gap, Jet(0.0)).parts

    return Late(lambda out: np.maximum(gap.v, 0.0, out=out), parts)


def ratio(run: Run, which: int | None = None) -> Jet:
    """d(travel) / d(movement), exact; nan while slack ahead of it is not taken up."""
    raw = lift(reciprocal(rate(run, which)))
    ready = run.ready()
    return raw if ready is True else lift(where(ready, raw, np.nan))


def rate(run: Run, which: int | None = None) -> Jet:
    """d(movement) / d(travel): a value and its parts by the parameters."""
    moved = movement(run, which)
    return Jet(np.asarray(moved.t), None, moved.h)


def mean_ratio(run: Run, which: int | None = None) -> Jet:
    """Travel / movement so far; at rest the ratio."""
    moved = movement(run, which)
    now = ratio(run, which)
    started = moved.v > 0.0
    safe = lift(where(started, moved, 1.0))
    return lift(where(started & ~np.isnan(now.v), run.travel / safe, now))


def ratio_change(run: Run, which: int | None = None) -> Jet:
    """Departure of the ratio from that at rest, per cent of it; nan without that."""
    here = np.zeros((1,) * max(1, np.ndim(run.travel.v)))
    rest = move(run.rest, Jet(here, 1.0))
    start, ready = rate(rest, which), rest.ready()
    if ready is not True:
        start = lift(where(ready, start, np.nan))
    change: Jet = ratio(run, which) * start - 1.0
    return change * 100.0


def rod_angle(run: Run, which: int | None = None) -> Jet:
    """Turn the axis line onto the rod's line: anticlockwise positive."""
    step = run.steps[-1 if which is None else which - 1]
    if step.lean is None:
        raise TypeError("only a cylinder's rod has a rod angle")
    return step.lean()


def crank_angle(run: Run, which: int | None = None) -> Jet:
    """Angle at the driving hole, from its own pivot to the far end of its link."""
    link = _link(run, which)
    if link.corner is None:
        raise TypeError("a cable that leaves a drum has no crank angle")
    return link.corner()


def transmission_angle(run: Run, which: int | None = None) -> Jet:
    """Angle at the driven hole of a rod, from its pivot to the rod."""
    if which is None:
        which = max(
            n for n, step in enumerate(run.steps, 1) if step.link.driven is not None
        )
    link = _link(run, which)
    if link.driven is None:
        raise TypeError(f"link {which} is no rod into a lever")
    return link.driven()


def lever_turn(run: Run, which: int | None = None) -> Jet:
    """Turn of a lever or quadrant, positive in the sense in which it starts."""
    levers = [n for n, step in enumerate(run.steps) if step.kind in LEVERS]
    index = levers[-1 if which is None else which - 1]
    return turn_of(run, index)


def turn_of(run: Run, index: int) -> Jet:
    """Turn of the lever or quadrant at ``index`` of the train (from 0)."""
    body = run.steps[index].body
    if body is None:
        raise TypeError(f"part {index + 1} does not turn")
    return times(body.turn(), sense_of_rate(run.rest.parts[index].rate))


def lever_rate(run: Run) -> Jet:
    """Turn of the lever that ends the train per travel, rad/mm; 0 in slack."""
    turning = run.last.end()
    raw = Jet(np.asarray(turning.t), None, turning.h)
    return lift(where(run.taut(run.last), raw, 0.0))


def cable_pull(run: Run) -> Jet:
    """What the near end of the last cable draws."""
    drawn = [step.drawn for step in run.steps if step.drawn is not None]
    return drawn[-1].pull


def distance(run: Run, names: tuple[str, ...]) -> Jet:
    """Distance between two named points."""
    a, b = (run.at(name) for name in names)
    return lift(length(b - a))


def corner(run: Run, names: tuple[str, ...]) -> Jet:
    """Angle at the middle one of three named points, 0 to pi."""
    a, b, c = (run.at(name) for name in names)
    return between(a - b, c - b)


def clearance(run: Run) -> Jet:
    """Least gap of what moves to what stands in its way; below 0 they overlap."""
    from linkage.footwell.clearance import least_gap

    return least_gap(run)


def pad_height(run: Run) -> Jet:
    """Height of the pad above the floor straight below it."""
    places, pad = run.rest.places, run.arm.carry(run.rest.pad)
    floor = places.design.footwell.floor
    if floor is None:
        return Jet(np.full(np.shape(run.travel.v), np.nan))
    if not isinstance(floor, tuple):
        return lift(imag(pad) - places.number(floor))
    low, high = (places.form(end) for end in floor)
    way = high - low
    rise = imag(way) / real(way)
    return lift(imag(pad - low) - real(pad - low) * rise)


def untold(run: Run, _: Any) -> Jet:
    """Return nothing: the bare mechanism has no such quantity."""
    return Jet(np.full(np.shape(run.travel.v), np.nan))


def _link(run: Run, which: int | None) -> Link:
    step: Step = run.steps[-1 if which is None else which - 1]
    return step.link
