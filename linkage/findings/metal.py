"""Checks of the arm as metal: holes, edges, the cut file."""

from collections.abc import Iterator

from linkage.cutting.fit_rules import distance
from linkage.findings.facts import Facts
from linkage.findings.records import Check, Lack, Measured

#: Rules of the cut check that are about holes and the metal beside them.
OF_HOLES = ("holes cuttable", "metal", "inside radii")


def _no_cut(facts: Facts) -> Measured | Lack:
    """Return why there is no arm: points that give none fail, free ones wait."""
    if facts.is_free:
        return Lack(what="an arm is cut from numbers, and some are still free")
    return Measured(verdict="fail", note=facts.no_arm.rstrip("."))


def _edge(facts: Facts) -> Measured | Lack:
    job = facts.cut
    if job is None:
        return _no_cut(facts)
    bores = [bore for bore in job.bores if bore.name not in _tubes(facts)]
    if not bores:
        return Lack(what="its arm has no hole but for tubes that are welded in")
    found = [
        (distance(job.contour, job.centres[bore.name]) / bore.bore, bore)
        for bore in bores
    ]
    least, bore = min(found, key=lambda each: each[0])
    arm = facts.pedal.arm.bores.get(bore.name)
    return Measured(
        value=least,
        working=f"{least * bore.bore:.2f} / {bore.bore:.2f} mm = {least:.3f}",
        note=f"hole {bore.name}, from its centre; the pivot's tube is welded in",
        leans=() if arm is None or not arm.guess else (arm.path,),
    )


def _tubes(facts: Facts) -> tuple[str, ...]:
    """Return the holes that a tube is welded into: the pivot's, and that of a bar."""
    bar = facts.pedal.bar
    return ("pivot",) if bar is None or bar.behind else ("pivot", "clevis")


def _holes(facts: Facts) -> Measured | Lack:
    return _verdicts(facts, OF_HOLES)


def _file(facts: Facts) -> Measured | Lack:
    return _verdicts(facts, ())


def _verdicts(facts: Facts, names: tuple[str, ...]) -> Measured | Lack:
    """Return whether rules of the cut check hold: those named, or all."""
    job = facts.cut
    if job is None:
        return _no_cut(facts)
    judged = [each for each in job.verdicts if not names or each.name in names]
    bad = [each for each in judged if not each.ok]
    arm = facts.pedal.arm
    return Measured(
        value=float(len(judged) - len(bad)),
        verdict="fail" if bad else "ok",
        note="; ".join(each.sentence for each in bad),
        wanted=f"all {len(judged)}",
        leans=(arm.plate.path,) if arm.plate.guess else (),
    )


def checks() -> Iterator[Check]:
    """Yield the checks of the arm."""
    yield Check(
        name="Hole to edge",
        law=_edge,
        why="A pin near the edge tears out.",
        limit="edge distance",
        for_pedal=lambda facts: bool(facts.pedal.train),
    )
    yield Check(
        name="Holes and metal between them",
        law=_holes,
        why="The process cannot cut them well in this plate.",
        source="common practice, no source",
    )
    yield Check(
        name="Cut file",
        law=_file,
        why="A cutting shop would send it back.",
        source="common practice, no source",
    )
