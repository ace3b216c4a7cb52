"""The register of checks, in the order in which people read them."""

from collections.abc import Iterator

from linkage.findings import (
    aims,
    bars,
    controls,
    failures,
    metal,
    motion,
    rods,
    room,
    stopping,
    strokes,
    wheels,
)
from linkage.findings.facts import Facts
from linkage.findings.records import Check

CHECKS: tuple[Check, ...] = (
    *stopping.checks(),
    *failures.checks(),
    *bars.checks(),
    *wheels.checks(),
    *motion.checks(),
    *strokes.checks(),
    *rods.checks(),
    *controls.checks(),
    *room.checks(),
    *metal.checks(),
)


def checks_of(facts: Facts) -> Iterator[Check]:
    """Yield the checks that are about such a pedal, its own targets last."""
    yield from (check for check in CHECKS if check.for_pedal(facts))
    yield from aims.checks(facts)
