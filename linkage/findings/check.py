"""A design checked: every finding of its pedals, each judged, the gravest first."""

from collections.abc import Mapping, Sequence
from functools import partial

from msgspec.structs import replace

from linkage.design.limit_names import LIMITS
from linkage.design.records import Design
from linkage.design.values import Value
from linkage.faults import DesignError
from linkage.findings.beyond import BEYOND, Beyond
from linkage.findings.changes import aim_of, cure, limit_of
from linkage.findings.facts import Facts, face_of, facts_of
from linkage.findings.records import (
    ORDER,
    Change,
    Check,
    Finding,
    Lack,
    Measured,
    Report,
)
from linkage.findings.register import checks_of
from linkage.findings.slopes import numbers_of
from linkage.footwell.pads import pad_gaps
from linkage.limits.bands import Limit, Verdict
from linkage.limits.sets import rule_set
from linkage.units import Measure, out_of, trim

#: How far a length is out that is a guess, mm (or its half, where that is less), and
#: how little of a value is no change, of its size.
OUT, NOTHING = 5.0, 0.005


def check(design: Design, pedals: Sequence[str]) -> Report:
    """Check some pedals of a design.

    Raises
    ------
    DesignError
        A pedal that cannot stand at rest.
    """
    rules = rule_set(design.rules)
    pads = pad_gaps(design) if len(design.pedals) > 1 else ()
    faces = {name: face_of(design, name) for name in design.pedals}
    others = {name: face for name, face in faces.items() if face is not None}
    found: list[Finding] = []
    guesses: dict[str, str] = {}
    for name in pedals:
        facts = facts_of(design, name, rules, pads=pads, others=others)
        found += [finding(each, facts) for each in checks_of(facts)]
        found += [_beyond(each, facts) for each in BEYOND if each.for_pedal(facts)]
        guesses |= _guesses(facts)
    ranked = sorted(found, key=lambda each: ORDER.index(each.verdict))
    return Report(
        rules=rules.name,
        edition=rules.edition,
        own=tuple(rules.limits[name] for name in rules.own),
        free=still_free(design, pedals),
        findings=tuple(ranked),
        guesses={
            path: (said, _leaning(ranked, path)) for path, said in guesses.items()
        },
    )


def still_free(design: Design, pedals: Sequence[str]) -> tuple[str, ...]:
    """Return the paths of what is still free: each is read as the file's first word.

    That is its ``near``, else the middle of its range, else the first of its choices.
    """
    free = [path for path, each in design.values.items() if each.kind != "fixed"]
    return tuple(
        path
        for path in (*free, *design.choices)
        if path.partition(".")[0] in (*pedals, "point")
    )


def finding(check: Check, facts: Facts) -> Finding:
    """Return one finding."""
    got, limit = check.law(facts), limit_of(check, facts)
    measure = _measure(check)
    source = check.source if limit is None or check.band else limit.source
    if isinstance(got, Lack):
        return Finding(
            pedal=facts.pedal.name,
            name=check.name,
            verdict="not checked",
            measure=measure,
            limit=limit,
            lack=got,
            why=check.why,
            source=source,
        )
    verdict = judged(got, limit)
    return Finding(
        pedal=facts.pedal.name,
        name=check.name,
        verdict=verdict,
        measure=measure,
        measured=replace(got, leans=_leans(check, facts, got)),
        limit=limit,
        why=check.why,
        source=source,
        change=_cure(check, facts, got) if verdict == "fail" else None,
    )


def _beyond(each: Beyond, facts: Facts) -> Finding:
    return Finding(
        pedal=facts.pedal.name,
        name=each.name,
        verdict="not checked",
        measure=Measure.PURE,
        lack=each.lack,
    )


def judged(got: Measured, limit: Limit | None) -> Verdict:
    """Return how a value stands; what cannot be had fails."""
    if got.verdict is not None:
        return got.verdict
    if got.value is None or limit is None:
        return "fail"
    return limit.verdict(got.value)


def _measure(check: Check) -> Measure:
    return LIMITS.get(check.limit, check.measure)


# --------------------------------------------------------------------- what would cure


def _cure(check: Check, facts: Facts, got: Measured) -> Change | None:
    return cure(
        check,
        facts,
        got,
        judge=_judge,
        layout=partial(_layout, facts),
        others=failing,
    )


def _judge(check: Check, facts: Facts) -> tuple[Measured | None, Verdict]:
    got = check.law(facts)
    if isinstance(got, Lack):
        return None, "not checked"
    return got, judged(got, limit_of(check, facts))


def _layout(facts: Facts, values: Mapping[str, float], look: bool) -> Facts | None:
    """Return the pedal with other numbers; None where it cannot stand."""
    try:
        return facts_of(
            facts.design,
            facts.pedal.name,
            facts.rules,
            values=values,
            pads=facts.pads,
            others=facts.others,
            look=look,
            brief=True,
        )
    except DesignError:
        return None


def failing(facts: Facts) -> tuple[str, ...]:
    """Return the names of the checks of the layout that fail."""
    moving = (each for each in checks_of(facts) if each.moves)
    return tuple(each.name for each in moving if _judge(each, facts)[1] == "fail")


# --------------------------------------------------------------------------- guesses


def _leans(check: Check, facts: Facts, got: Measured) -> tuple[str, ...]:
    """Return the guesses that a finding leans on: those it names, and by its slopes."""
    own = numbers_of(facts)
    said = [each for each in facts.design.guesses if each.path in own]
    if not said or not check.slopes or got.value is None:
        return got.leans
    slopes = check.slopes(facts, got)
    size = max(abs(got.value), abs(aim_of(check, facts, got.value)))
    felt = (
        each.path
        for each in said
        if _out(each) * abs(slopes.get(each.path, 0.0)) > NOTHING * size
    )
    return tuple(dict.fromkeys((*got.leans, *felt)))


def _out(each: Value) -> float:
    """Return how far a guess may be out, mm or rad."""
    return min(OUT, 0.5 * abs(each.nominal))


def _guesses(facts: Facts) -> dict[str, str]:
    """Return what is a guess, said or taken, by path: in the words of the file."""
    name, design = facts.pedal.name, facts.design
    found = {
        each.path: f'"{each.text}"'
        for each in design.guesses
        if each.path.partition(".")[0] not in design.pedals
        or each.path.startswith(f"{name}.")
    }
    for path, doubt in (facts.rig.doubts if facts.rig else {}).items():
        said = trim(out_of(doubt.nominal, doubt.unit), 3)
        unit = "" if doubt.unit == "1" else f" {doubt.unit}"
        found.setdefault(path, f"{said}{unit}, not given")
    arm = facts.pedal.arm
    for bore in (arm.plate, *arm.bores.values()):
        if bore.guess and not bore.text:
            found[bore.path] = f"{trim(bore.nominal, 3)} mm, not given"
    return found


def _leaning(found: Sequence[Finding], path: str) -> tuple[str, ...]:
    return tuple(
        each.name for each in found if each.measured and path in each.measured.leans
    )
