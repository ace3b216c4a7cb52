"""Checks of the wheels: which axle locks first, what the road is used for, valves."""

from collections.abc import Iterator

import numpy as np

from linkage.car.axles import ORDER, Lock
from linkage.car.drive import circuits_of
from linkage.car.meeting import road_use
from linkage.car.rig import Rig
from linkage.design.brake_records import Circuit
from linkage.findings.facts import Facts
from linkage.findings.records import Check, Lack, Measured
from linkage.findings.stopping import is_brake, no_rig


def _order(facts: Facts) -> Measured | Lack:
    rig = facts.rig
    if rig is None or rig.road is None:
        return no_rig(facts)
    reached = [lock for lock in rig.locks() if lock.level <= rig.top]
    if not reached:
        return Lack(what=f"no axle locks on its road: {rig.ends} before that")
    first, *others = reached
    last = others[0].level if others else rig.top
    room = 100.0 * (last / first.level - 1.0)
    ahead = first.axle == "front"
    return Measured(
        value=room if ahead else -room,
        bound="" if others else "at least" if ahead else "at most",
        working=f"{first.axle} at {first.z:.3f} g0, {_other(rig, others)}: "
        f"100 ({last:.0f} / {first.level:.0f} - 1) = {room:.1f} % more push",
        note=f"{first.axle} {'first' if others else 'alone'}, at {first.z:.2f} g0",
        leans=_road_guesses(rig),
    )


def _other(rig: Rig, others: list[Lock]) -> str:
    """Return where the second axle locks, or what ends before it does."""
    if others:
        return f"{others[0].axle} at {others[0].z:.3f} g0"
    return f"{rig.ends} before the other"


def _road_guesses(rig: Rig) -> tuple[str, ...]:
    """Return the guesses that the order of the axles leans on."""
    words = ("vehicle.", "friction", "leading", "trailing", "shoe_springs", "radius")
    return tuple(path for path in rig.doubts if any(word in path for word in words))


def _road_used(facts: Facts) -> Measured | Lack:
    rig = facts.rig
    if rig is None or rig.road is None:
        return no_rig(facts)
    use = road_use(rig)
    if not use.whole or not len(use.z):
        return Lack(what=f"its brakes do not make {ORDER[1]:g} g0 on any road")
    k = int(np.argmin(use.room))
    return Measured(
        value=float(use.room[k]),
        working=f"at {use.z[k]:.2f} g0 the front uses {use.front[k]:.3f}, the rear {use.rear[k]:.3f}",
        note=f"at {use.z[k]:.2f} g0",
        leans=_road_guesses(rig),
    )


def _locked(facts: Facts) -> Measured | Lack:
    if facts.hard is None or facts.hard.rig.road is None:
        return no_rig(facts)
    held = [each for each in facts.hard.locks if each.effort is not None]
    hardest = max((each.effort or 0.0 for each in held), default=0.0)
    said = ", ".join(each.lock.axle for each in held) or "none"
    return Measured(
        value=float(len(held)),
        working=f"axles that lock before anything ends: {said}; {hardest:.0f} N",
        leans=_road_guesses(facts.hard.rig),
    )


def _residual(facts: Facts) -> Measured | Lack:
    found = [
        (circuit.residual.nominal, circuit.name)
        for circuit in _circuits(facts)
        if circuit.residual is not None
        and any(b.kind != "drum" for b in circuit.brakes)
    ]
    if not found:
        return Measured(value=0.0, note="no valve on a circuit with discs")
    most, name = max(found)
    return Measured(value=most, note=f"circuit {name}")


def _circuits(facts: Facts) -> list[Circuit]:
    return [facts.design.circuits[name] for name in circuits_of(facts.pedal)]


def checks() -> Iterator[Check]:
    """Yield the checks of the wheels."""
    yield Check(
        name="Front locks first",
        law=_order,
        why="A car whose rear wheels lock first turns round.",
        limit="lock order",
        for_pedal=is_brake,
    )
    yield Check(
        name="Front uses more of the road",
        law=_road_used,
        why="Between 0.15 and 0.8 g0 the front is to use more of the road than the rear.",
        limit="road used",
        for_pedal=is_brake,
    )
    yield Check(
        name="Axles that can be locked",
        law=_locked,
        why="All four wheels have to lock at the test.",
        limit="wheels locked",
        for_pedal=lambda facts: (
            is_brake(facts) and "wheels locked" in facts.rules.limits
        ),
    )
    yield Check(
        name="Residual pressure on discs",
        law=_residual,
        why="More than a disc's valve keeps lets its pads drag.",
        limit="residual on discs",
        for_pedal=lambda facts: is_brake(facts) and bool(_circuits(facts)),
    )
