"""The file's own targets, judged as findings."""

from collections.abc import Iterator

from linkage.design.records import Target
from linkage.findings.facts import Facts
from linkage.findings.records import Check, Lack, Measured
from linkage.limits.bands import Limit
from linkage.placing.judge import judge_one
from linkage.placing.wishes import band_of
from linkage.quantities.asked import lacking
from linkage.quantities.register import QUANTITIES


def checks(facts: Facts) -> Iterator[Check]:
    """Yield one check for each target of a pedal."""
    for target in facts.pedal.targets:
        yield _check(target)


def _check(target: Target) -> Check:
    where = "everywhere" if target.at.text == "whole travel" else target.at.text
    joint = " at " if target.at.single else ", "
    which = "" if target.which is None else f" {target.which}"

    def law(facts: Facts) -> Measured | Lack:
        lacks = lacking(facts.design, facts.pedal, target)
        if lacks:
            return Lack(what=lacks)
        judged = judge_one(facts.rest, target)
        return Measured(
            value=judged.got,
            verdict="ok" if judged.met else "fail",
            note="" if judged.got is not None else "it has no value there",
        )

    return Check(
        name=f"Target: {target.of}{which}{joint}{where}",
        law=law,
        why="The file wants it otherwise.",
        band=_band(target),
        source=f"the file, line {target.line}",
        measure=QUANTITIES[target.of].measure,
        moves=True,
    )


def _band(target: Target) -> Limit | None:
    """Return what a target wants; None for what only prefers."""
    if target.prefer is not None and target.least is None and target.most is None:
        return None
    low, high = band_of(target)
    return Limit(
        name=target.of,
        least=low,
        most=high,
        fail_under=low,
        fail_over=high,
        kind="own",
        source=f"the file, line {target.line}",
    )
