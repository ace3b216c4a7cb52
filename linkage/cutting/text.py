"""A cut job told to the builder: what he gets, what he must finish, what to mind."""

import textwrap
from collections.abc import Iterator
from typing import Any

from linkage.cutting.bores import BorePlan
from linkage.cutting.job import CutJob, stock

#: Longest line, characters: fits a half-screen window.
WIDTH = 96


def job_text(job: CutJob) -> str:
    """Render a job for people; several lines, the last without an end."""
    unit = {"mm": "mm", "in": "inches"}[job.unit]
    width = max(map(len, [*job.centres, "outline"]))
    lines = [f"{job.plan.title}: {stock(job.plan)}, file in {unit}"]
    for name, words in _part(job):
        first, rest = f"  {name:<{width}}  ", " " * (width + 4)
        lines.append(
            textwrap.fill(words, WIDTH, initial_indent=first, subsequent_indent=rest)
        )
    lines += [*_check(job), ""]
    lines += [textwrap.fill(words, WIDTH) for words in (*_advice(job), *_cautions(job))]
    return "\n".join(lines)


def _part(job: CutJob) -> Iterator[tuple[str, str]]:
    """What each line is about, and what it says."""
    figures = job.figures
    yield (
        "outline",
        f"{_size(job)} over all, closed: {figures.straights} straight lines, "
        f"{figures.arcs} true arcs",
    )
    for bore in job.bores:
        yield bore.name, _hole(bore, job)
    yield "metal", _metal(job)
    pierces = "pierce" if figures.pierces == 1 else "pierces"
    yield (
        "cutting",
        f"{figures.cut_length:.0f} mm of cut, {figures.pierces} {pierces}, "
        f"{figures.mass:.2f} kg as cut",
    )
    yield "pad end", _pad_end(job)
    if job.plan.guesses:
        yield "guessed", "; ".join(job.plan.guesses)


def _size(job: CutJob) -> str:
    size = job.figures.size
    metric = f"{size.real:.1f} x {size.imag:.1f}"
    inches = f" mm ({size.real / 25.4:.3f} x {size.imag / 25.4:.3f} in)"
    return metric + (inches if job.unit == "in" else "")


def _hole(bore: BorePlan, job: CutJob) -> str:
    reach = job.figures.reaches.get(bore.name)
    far = "" if reach is None else f", {reach:.1f} from the pivot"
    return f"{bore.bore:g} finished{far}: {bore.reason}"


def _metal(job: CutJob) -> str:
    figures = job.figures
    around = f"{figures.around:.1f} round them at least, all finished"
    if figures.between is None:
        return around
    return f"{figures.between:.1f} between the holes, {around}"


def _pad_end(job: CutJob) -> str:
    radius, stand = job.plan.boss("pad"), job.plan.pad_stand
    if stand is None:
        return (
            f"rounded {radius:g} about the pad point itself: a plate welded to its edge "
            "puts its face that much nearer to you"
        )
    return f"rounded {radius:g}, its edge {stand:g} from the pad's face, away from you"


def _check(job: CutJob) -> Iterator[str]:
    good = sum(verdict.ok for verdict in job.verdicts)
    count = f"{good} of {len(job.verdicts)}"
    if job.ok:
        yield f"  written file read back as a cutting desk would: {count} right"
        return
    yield f"  written file read back as a cutting desk would: {count} right, NOT FIT:"
    for verdict in job.verdicts:
        if not verdict.ok:
            yield f"    {verdict.name}: {verdict.sentence}"


def _advice(job: CutJob) -> Iterator[str]:
    size, reaches = job.figures.size, job.figures.reaches
    tapes = [f"pivot to {name} {reach:.1f}" for name, reach in reaches.items()]
    tapes.append(f"over all {size.real:.1f}")
    yield "Before you pay for ten, have one cut and tape it: " + ", ".join(tapes) + "."
    yield (
        "Lines are drawn at their true size: the shop allows for the width of its cut. "
        "Say the unit when you send it, and ask for the start away from the holes."
    )


def _cautions(job: CutJob) -> Iterator[str]:
    yield "NOT CHECKED: strength and stiffness. This outline is a shape, not a proof."
    if any(bore.way != "finished" for bore in job.bores):
        yield "Finish the holes after welding, not before."
    yield (
        "A pedal that fails can kill. Local rules and a licensed engineer have the last "
        "word on it."
    )


def job_document(job: CutJob) -> dict[str, Any]:
    """Return a job as a JSON document: mm, mm2, kg."""
    figures = job.figures
    return {
        "title": job.plan.title,
        "form": job.form,
        "unit": job.unit,
        "outline": {
            "length": figures.size.real,
            "width": figures.size.imag,
            "straights": figures.straights,
            "arcs": figures.arcs,
            "area": figures.area,
        },
        "cut_length": figures.cut_length,
        "pierces": figures.pierces,
        "mass": figures.mass,
        "holes": [
            {
                "name": bore.name,
                "bore": bore.bore,
                "way": bore.way,
                "cut": bore.cut,
                "from_pivot": figures.reaches.get(bore.name),
                "reason": bore.reason,
            }
            for bore in job.bores
        ],
        "checks": [
            {"name": verdict.name, "ok": verdict.ok, "says": verdict.sentence}
            for verdict in job.verdicts
        ],
    }
