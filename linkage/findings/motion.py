"""Checks of the bare motion: that it makes its way, and how its ratio changes."""

from collections.abc import Iterator

import numpy as np

from linkage.findings.facts import Facts
from linkage.findings.looking import unknown_stop, values_at, worst
from linkage.findings.records import Check, Measured
from linkage.findings.slopes import Slopes, slopes_at, stop_slopes
from linkage.quantities import laws
from linkage.quantities.register import ends_in
from linkage.units import Measure
from solvers.jet import value


def _makes_travel(facts: Facts) -> Measured:
    limit = facts.swept.limit
    whole = float(np.ravel(value(facts.rest.travel))[0])
    over = 0.0 if limit is None else whole - limit.travel
    return Measured(
        value=over,
        at=None if limit is None else limit.travel,
        verdict="ok" if limit is None else "fail",
        note="" if limit is None else f"{limit.kind}: {limit.why}",
        wanted="0 lost",
    )


def _of_travel(facts: Facts, _: Measured) -> Slopes:
    return slopes_at(facts, lambda run: run.rest.travel * 1.0, 0.0)


def _ratio_change(facts: Facts) -> Measured:
    found, at = worst(
        facts, laws.ratio_change, facts.rules.limits["ratio change"], facts.working
    )
    first, here = (float(x) for x in values_at(facts, laws.ratio, np.array([0.0, at])))
    return Measured(
        value=found,
        at=at,
        working=f"100 ({here:.4f} / {first:.4f} - 1) = {found:.2f} %",
        note=unknown_stop(facts),
    )


def checks() -> Iterator[Check]:
    """Yield the checks of the motion."""
    yield Check(
        name="Makes its travel",
        law=_makes_travel,
        why="The linkage locks or turns back before the pad is at its stop.",
        source="own sums",
        measure=Measure.LENGTH,
        slopes=_of_travel,
        moves=True,
    )
    yield Check(
        name="Ratio change while working",
        law=_ratio_change,
        why="Rising it goes grabby and runs out of stroke; falling the pedal goes dead.",
        limit="ratio change",
        for_pedal=lambda facts: (
            facts.pedal.duty == "brake"
            and ends_in(facts.pedal) in ("cylinder", "cable")
        ),
        slopes=lambda facts, got: stop_slopes(facts, laws.ratio_change, got.at or 0.0),
        moves=True,
    )
