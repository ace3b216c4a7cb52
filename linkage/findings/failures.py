"""Checks of a brake on a bad day: the booster dead, one circuit lost."""

from collections.abc import Iterator

from linkage.findings.facts import Facts, Lost, Stop
from linkage.findings.records import Check, Lack, Measured
from linkage.findings.stopping import NO_CAR, has_booster, is_brake, leans, no_rig


def _dead_effort(facts: Facts) -> Measured | Lack:
    if facts.rig is None or facts.rig.road is None:
        return no_rig(facts)
    dead = facts.dead
    if dead is None:
        return Lack(
            what="nothing says what its booster is",
            give=f"[pedal.{facts.pedal.name}.train.booster]: diaphragm, vacuum",
        )
    return _stopped(dead, "booster")


def _stopped(stop: Stop, what: str) -> Measured:
    return Measured(
        value=None if stop.missed else stop.effort,
        at=stop.travel,
        working=f"least stop with the {what} gone: {stop.effort:.1f} N at {stop.travel:.1f} mm",
        note=stop.missed,
        leans=leans(stop.sways, effort=True),
    )


def losses(facts: Facts) -> tuple[Lost, ...] | Lack:
    """Return the pedal with each circuit lost, or why there is none."""
    if facts.rig is None:
        return no_rig(facts)
    if facts.rest.bar is not None:
        return facts.lost or NO_CAR
    part = facts.cylinder
    if part is None or len(part.circuits or ()) < 2:
        return Lack(
            what="its cylinder fills one circuit, and no second one is left",
            give='circuits = ["front", "rear"], if it is a tandem',
        )
    if part.stroke is None:
        return Lack(
            what="a lost circuit uses up its stroke, and nothing says how long that is",
            give=f"stroke = 36 in its [[pedal.{facts.pedal.name}.train]]",
        )
    return facts.lost or NO_CAR


def _lost_effort(facts: Facts) -> Measured | Lack:
    lost = losses(facts)
    if isinstance(lost, Lack):
        return lost
    hardest = max(lost, key=lambda each: (bool(each.stop.missed), each.stop.effort))
    return _of_lost(hardest, hardest.stop.effort, effort=True)


def _lost_left(facts: Facts) -> Measured | Lack:
    lost = losses(facts)
    if isinstance(lost, Lack):
        return lost
    deepest = max(lost, key=lambda each: (bool(each.stop.missed), each.stop.travel))
    return _of_lost(deepest, facts.reach - deepest.stop.travel, effort=False)


def _of_lost(each: Lost, found: float, *, effort: bool) -> Measured:
    stop = each.stop
    return Measured(
        value=None if stop.missed else found,
        at=stop.travel,
        working=f"{each.circuit} lost: {stop.effort:.1f} N, {stop.travel:.1f} mm of pad",
        note=f"{each.circuit} lost{f': {stop.missed}' if stop.missed else ''}",
        leans=leans(stop.sways, effort=effort),
    )


def checks() -> Iterator[Check]:
    """Yield the checks of a bad day."""
    yield Check(
        name="Foot force, booster dead",
        law=_dead_effort,
        why="Without assist the same leg has to make the least stop that is asked for.",
        limit="booster-dead effort",
        for_pedal=lambda facts: is_brake(facts) and has_booster(facts),
    )
    yield Check(
        name="Foot force, one circuit lost",
        law=_lost_effort,
        why="Half of the brakes have to make the least stop that is asked for.",
        limit="lost-circuit effort",
        for_pedal=is_brake,
    )
    yield Check(
        name="Pad left, one circuit lost",
        law=_lost_left,
        why="What is left of the brakes has to hold before pad or piston is at its end.",
        limit="lost-circuit pad left",
        for_pedal=is_brake,
    )
