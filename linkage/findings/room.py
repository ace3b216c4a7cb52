"""Checks of the room: what pedal and foot come near to, and the pads side by side."""

from collections.abc import Iterator

import numpy as np

from linkage.findings.facts import Facts
from linkage.findings.records import Check, Lack, Measured
from linkage.findings.stopping import is_brake, no_rig
from linkage.footwell.clearance import Clearance
from linkage.footwell.pads import PadGap
from linkage.loads.foot import hip_of
from linkage.motion.run import move
from solvers.jet import value

#: What a rule about the pedal itself is about: not the rod, nor the driver's shoe.
OWN = ("arm", "pad")


def _least(facts: Facts) -> Clearance | Lack:
    """Return the nearest of everything that moves: arm, pad, rod, shoe."""
    if facts.no_arm and not facts.near:
        return Lack(what=f"its arm cannot be shaped: {facts.no_arm}".rstrip("."))
    if not facts.near:
        return Lack(
            what="nothing stands in its way in this file",
            give="floor, bulkhead and [[footwell.fixed]] in [footwell]",
        )
    return min(facts.near, key=lambda each: each.gap)


def _clearance(facts: Facts) -> Measured | Lack:
    least = _least(facts)
    if isinstance(least, Lack):
        return least
    bare = not facts.design.footwell.fixed
    note = "; nothing fixed is in the file but floor and bulkhead" if bare else ""
    return Measured(
        value=least.gap, at=least.travel, note=f"{least.part} to {least.thing}{note}"
    )


def _bulkhead(facts: Facts) -> Measured | Lack:
    bulkhead = facts.design.footwell.bulkhead
    if bulkhead is None:
        return Lack(
            what="nothing says where the bulkhead is", give="bulkhead in [footwell]"
        )
    near = [e for e in facts.near if e.kind == "bulkhead" and e.part in OWN]
    if not near:
        return Lack(what="its arm cannot be shaped")
    least = min(near, key=lambda each: each.gap)
    return Measured(
        value=least.gap, at=least.travel, note=f"{least.part} to {least.thing}"
    )


def _hip(facts: Facts) -> Measured | Lack:
    hip = hip_of(facts.design, "leg" if facts.design.driver.hip else None)
    if hip is None:
        give = "hip in [driver]: the middle of the template's hip circle"
        return Lack(what="nothing says where the driver's hip is", give=give)
    off = abs(complex(value(facts.rest.pad)) - hip)
    return Measured(value=off, at=0.0, note="to the middle of the pad's face")


# ---------------------------------------------------------------------------- pads


def _beside(facts: Facts) -> PadGap | Lack:
    """Return the gap between brake and throttle."""
    pedals = facts.design.pedals.values()
    other = next((p.name for p in pedals if p.duty == "throttle"), None)
    if other is None:
        return Lack(what="the file has no throttle beside it", give="[pedal.throttle]")
    pair = {facts.pedal.name, other}
    for each in facts.pads:
        if {each.left, each.right} == pair:
            return each
    return Lack(
        what="nothing says where brake and throttle are across the car",
        give="across = { pad = 0 } in both pedals",
    )


def _pad_gap(facts: Facts) -> Measured | Lack:
    pads = _beside(facts)
    if isinstance(pads, Lack):
        return pads
    return Measured(value=pads.edge, note=f"{pads.left} to {pads.right}, edge to edge")


def _pad_step(facts: Facts) -> Measured | Lack:
    pads = _beside(facts)
    if isinstance(pads, Lack):
        return pads
    if facts.hard is None:
        return no_rig(facts)
    other = pads.right if pads.left == facts.pedal.name else pads.left
    at = min(float(facts.hard.state.foot.travel[0]), facts.travel)
    arm = move(facts.rest, np.array([at])).arm
    here = float(np.real(np.ravel(value(arm.carry(facts.rest.pad)))[0]))
    there = facts.others[other]
    return Measured(
        value=here - there,
        at=at,
        working=f"{here:.1f} - {there:.1f} = {here - there:.1f} mm",
        note="above 0 the brake is deeper than the throttle",
    )


def checks() -> Iterator[Check]:
    """Yield the checks of the room."""
    yield Check(
        name="Clear of what is fixed",
        law=_clearance,
        why="A pedal that meets something on its way stops there, or jams.",
        limit="clearance",
        moves=True,
    )
    yield Check(
        name="Clear of the bulkhead",
        law=_bulkhead,
        why="At full travel, and any adjustment, the pedal has to keep off the bulkhead.",
        limit="bulkhead at full",
        for_pedal=lambda facts: "bulkhead at full" in facts.rules.limits,
    )
    yield Check(
        name="Hip to pad",
        law=_hip,
        why="The template's hip circle has to be so far behind the rearmost pad.",
        limit="hip to pad",
        for_pedal=lambda facts: "hip to pad" in facts.rules.limits,
    )
    yield Check(
        name="Brake to throttle, edges",
        law=_pad_gap,
        why="Too near and one shoe presses both; too far and the foot comes late.",
        limit="pad gap",
        for_pedal=is_brake,
    )
    yield Check(
        name="Pressed brake to throttle face",
        law=_pad_step,
        why="Where the pressed brake sinks below the throttle, a wide shoe opens it.",
        limit="pad step",
        for_pedal=is_brake,
    )
