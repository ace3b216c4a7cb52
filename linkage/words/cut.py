"""A cut job told to the builder: what he gets, what he must finish, what to mind.

Lengths are said in the unit of the design, with the other beside it where the shop
may want it; a size that is an exact fraction of an inch is said as that fraction.
"""

import textwrap
from collections.abc import Iterator
from typing import Any

from linkage.arm.plan import ArmPlan
from linkage.arm.processes import PROCESSES, Process
from linkage.cutting.bores import BorePlan
from linkage.cutting.job import CutJob
from linkage.last_word import CUT
from linkage.words.speech import INCH, Speech

#: Longest line, characters: fits a half-screen window.
WIDTH = 96


def job_text(job: CutJob, speech: Speech) -> str:
    """Render a job for people; several lines, the last without an end."""
    width = max(map(len, [*job.centres, "outline"]))
    lines = [f"{job.plan.title}: {_stock(job, speech)}, file in {_FILES[job.unit]}"]
    for name, words in _part(job, speech):
        first, rest = f"  {name:<{width}}  ", " " * (width + 4)
        lines.append(
            textwrap.fill(words, WIDTH, initial_indent=first, subsequent_indent=rest)
        )
    lines += [*_check(job), ""]
    said = (*_advice(job, speech), *_cautions(job))
    lines += [textwrap.fill(words, WIDTH) for words in said]
    return "\n".join(lines)


_FILES = {"mm": "mm", "in": "inches"}


def _stock(job: CutJob, speech: Speech) -> str:
    return f"{speech.stock(job.plan.plate)} {job.plan.material}, {job.plan.process}"


def guess_texts(plan: ArmPlan, speech: Speech) -> Iterator[str]:
    """Yield what an arm's plan takes for granted: "plate 8 mm", "material steel"."""
    for name, value in plan.guesses:
        if isinstance(value, str):
            yield f"{name} {value}"
        else:
            yield f"{name} {speech.stock(value)}"


def _part(job: CutJob, speech: Speech) -> Iterator[tuple[str, str]]:
    """What each line is about, and what it says."""
    figures = job.figures
    yield (
        "outline",
        f"{_size(job, speech)} over all, closed: {figures.straights} straight lines, "
        f"{figures.arcs} true arcs",
    )
    for bore in job.bores:
        yield bore.name, _hole(bore, job, speech)
    yield "metal", _metal(job, speech)
    yield "cutting", _cutting(job, speech)
    yield "pad end", _pad_end(job, speech)
    if job.plan.guesses:
        yield "guessed", "; ".join(guess_texts(job.plan, speech))


def _size(job: CutJob, speech: Speech) -> str:
    """Return length and width, in both systems where design or file is in inches."""
    size = job.figures.size
    metric = f"{size.real:.1f} x {size.imag:.1f}"
    english = f"{size.real / INCH:.3f} x {size.imag / INCH:.3f}"
    if speech.units == "in":
        return f"{english} in ({metric} mm)"
    return f"{metric} mm ({english} in)" if job.unit == "in" else metric


def _hole(bore: BorePlan, job: CutJob, speech: Speech) -> str:
    reach = job.figures.reaches.get(bore.name)
    far = "" if reach is None else f", {speech.length(reach)} from the pivot"
    reason = bore_reason(bore, PROCESSES[job.plan.process], speech)
    size = speech.size(bore.bore) if speech.units == "mm" else speech.stock(bore.bore)
    return f"{size} finished{far}: {reason}"


def bore_reason(bore: BorePlan, process: Process, speech: Speech) -> str:
    """Return what is done about a hole and why, a sentence for the bench."""

    def fine(mm: float) -> str:
        return speech.length(mm, 2 if speech.units == "mm" else 3)

    held = (
        f"{process.name} holds ±{fine(bore.holds)} here "
        f"(ISO 9013 class {process.iso_class})"
        if bore.holds is not None
        else f"what {process.name} holds here is in no table of ours"
    )
    cut = fine(bore.cut or 0.0)
    if speech.units == "in":
        cut = f"{cut} in ({bore.cut or 0.0:.2f} mm)"
    match bore.way:
        case "finished":
            return f"used as cut: {held}"
        case "undersize":
            return f"cut {cut}, then drill, ream or bore: {held}"
        case "pilot":
            return f"pilot of {cut}, then open up: {held}"
        case "mark" if bore.bore < bore.least:
            least = speech.size(bore.least)
            small = f"{process.name} cuts no good hole under {least} in this plate"
            return f"centre cross only, drill: {small}"
        case "mark":
            return f"centre cross only, drill: {held}, edge {process.edge}"


def _metal(job: CutJob, speech: Speech) -> str:
    figures = job.figures
    around = f"{speech.length(figures.around)} round them at least, all finished"
    if figures.between is None:
        return around
    return f"{speech.length(figures.between)} between the holes, {around}"


def _cutting(job: CutJob, speech: Speech) -> str:
    figures = job.figures
    pierces = "pierce" if figures.pierces == 1 else "pierces"
    length = f"{speech.length(figures.cut_length, 0)} {speech.name} of cut"
    mass = speech.mass(figures.mass)
    return f"{length}, {figures.pierces} {pierces}, {mass} as cut"


def _pad_end(job: CutJob, speech: Speech) -> str:
    radius, stand = speech.size(job.plan.boss("pad")), job.plan.pad_stand
    if stand is None:
        return (
            f"rounded {radius} about the pad point itself: a plate welded to its edge "
            "puts its face that much nearer to you"
        )
    edge = speech.size(stand)
    return f"rounded {radius}, its edge {edge} from the pad's face, away from you"


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


def _advice(job: CutJob, speech: Speech) -> Iterator[str]:
    size, reaches = job.figures.size, job.figures.reaches
    tapes = [f"pivot to {name} {_taped(far, speech)}" for name, far in reaches.items()]
    tapes.append(f"over all {_taped(size.real, speech)}")
    yield "Before you pay for ten, have one cut and tape it: " + ", ".join(tapes) + "."
    yield (
        "Lines are drawn at their true size: the shop allows for the width of its cut. "
        "Say the unit when you send it, and ask for the start away from the holes."
    )


def _taped(mm: float, speech: Speech) -> str:
    """Return a length to hold against the first part, by tape or rule."""
    return speech.length(mm) if speech.units == "mm" else speech.ruled(mm, 64)


def _cautions(job: CutJob) -> Iterator[str]:
    yield "NOT CHECKED: strength and stiffness. This outline is a shape, not a proof."
    if any(bore.way != "finished" for bore in job.bores):
        yield "Finish the holes after welding, not before."
    yield CUT


def job_document(job: CutJob) -> dict[str, Any]:
    """Return a job as a JSON document: mm, mm2, kg."""
    figures, process = job.figures, PROCESSES[job.plan.process]
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
                "reason": bore_reason(bore, process, Speech("mm")),
            }
            for bore in job.bores
        ],
        "checks": [
            {"name": verdict.name, "ok": verdict.ok, "says": verdict.sentence}
            for verdict in job.verdicts
        ],
    }
