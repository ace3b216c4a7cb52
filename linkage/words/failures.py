"""A rehearsal for people: a row a failure, and a sentence for each."""

from collections.abc import Iterator

from linkage.car.meeting import Meeting
from linkage.car.twin import Alone
from linkage.design.records import Design
from linkage.last_word import FINDINGS
from linkage.rehearsing.rehearse import BAR_STOPS, Outcome, Rehearsal
from linkage.units import say, trim
from linkage.words.bar import swung_text
from linkage.words.effort import SCALES, Scale
from linkage.words.speech import Speech, paragraph, sentence, table, tidy


def failures_text(design: Design, found: Rehearsal) -> str:
    """Return the table and the sentences of a rehearsal."""
    speech, scale = Speech(design.units), SCALES[design.units]
    lines = [*paragraph(title_text(design, found, scale), 0), ""]
    lines += [*table(rows_of(found, speech, scale), HEADS), ""]
    for name, text in told(found, speech, scale):
        lines += sentence(name, text)
    return "\n".join(lines) + "\n"


def title_text(design: Design, found: Rehearsal, scale: Scale) -> str:
    """Return what was rehearsed, and with what effort."""
    own, name = tidy(design.title), found.pedal
    title = f"{own}: {name} on a bad day" if own else f"{name} on a bad day"
    foot = force_text(found.foot, scale)
    return f"{title}. Pressed with {foot}. Lengths in {Speech(design.units).name}"


def force_text(newtons: float, scale: Scale) -> str:
    """Return a force in the units of the file, and in the other ones."""
    unit, digits = scale.force
    other = "lbf" if unit == "N" else "N"
    return f"{say(newtons, unit, digits)} ({say(newtons, other, 0)})"


#: What stands for the push of a stop that cannot be made.
MISSED = "MISSED"
HEADS = [("pad", "moves"), ("of its", "way"), ("stops", "at"), ("rule", "takes"), ("",)]


def rows_of(found: Rehearsal, speech: Speech, scale: Scale) -> list[list[str]]:
    """Return a row of cells for each failure, as under `HEADS`."""
    return [
        [
            speech.length(each.travel),
            f"{each.share:.0f} %",
            "-" if each.z is None else f"{each.z:.2f} g0",
            _takes(each, scale),
            f"{number}  {tidy(each.case.name, 40)}",
        ]
        for number, each in enumerate(found.outcomes)
    ]


def _takes(each: Outcome, scale: Scale) -> str:
    """Return the foot's push of the stop that the rule asks for."""
    if each.meeting is None:
        return "-"
    if each.missed or each.meeting.effort is None:
        return MISSED
    return say(each.meeting.effort, *scale.force)


def told(found: Rehearsal, speech: Speech, scale: Scale) -> Iterator[tuple[str, str]]:
    """Yield what the rehearsal comes to, (number or name, sentence) in order."""
    yield "Way", f"{speech.short(found.reach)} of pad: there {found.counted}."
    for number, each in enumerate(found.outcomes):
        yield str(number), outcome_text(each, speech, scale)
    for skipped in found.skipped:
        yield "Not", f"rehearsed: {skipped.case.name}. {skipped.why}"
    if rules := rules_text(found):
        yield "Asked", f"{rules}."
    yield "Sum", sum_text(found)
    yield "Mind", FINDINGS


def outcome_text(each: Outcome, speech: Speech, scale: Scale) -> str:
    """Return one failure: what it is taken to be, what ends first, what is left."""
    name = each.case.name
    said = [f"{name[0].upper()}{name[1:]}: {each.case.assumed}.", _pad(each, speech)]
    if each.stopped:
        said.append(_stopped(each, force_text(each.effort, scale)))
    if isinstance(each.rig.driven, Alone):
        said.append(f"The bar has {swung_text(each.rig.driven, each.level, speech)}.")
    if each.locked:
        said.append(_locked(each))
    if each.meeting is not None:
        said.append(_rule(each, each.meeting, speech, scale))
    return " ".join(said)


def _stopped(each: Outcome, pushed: str) -> str:
    """Return why the effort is not reached; a bar at its stop can be pushed on."""
    if each.stopped == BAR_STOPS:
        return f"From {pushed} on {each.stopped}, and what it shares is not told."
    return f"No more than {pushed} can be pressed: {each.stopped}."


def _locked(each: Outcome) -> str:
    """Return which axles have locked; a rear that locks first turns the car round."""
    if len(each.locked) > 1:
        return f"All wheels are locked, the {each.locked[0]} ones first."
    if each.locked == ("rear",) and each.case.lost == "":
        return "The rear wheels are locked, the front ones not: the car turns round."
    return f"The {each.locked[0]} wheels are locked."


def _pad(each: Outcome, speech: Speech) -> str:
    at, first = speech.short(each.travel), each.first
    if each.travel >= first.travel * (1.0 - 1e-6):
        return f"The pad ends at {at}."
    return f"The pad ends at {at}; pressed on, {first.what} at {speech.short(first.travel)}."


def _rule(each: Outcome, meeting: Meeting, speech: Speech, scale: Scale) -> str:
    rule = meeting.rule
    asked = f"{rule.deceleration:.2f} m/s2 ({rule.name})"
    if each.missed:
        return f"It does NOT make {asked}: {each.missed}. {_best(meeting)}."
    effort, travel = meeting.effort or 0.0, meeting.travel or 0.0
    return (
        f"{asked} takes {force_text(effort, scale)} and {speech.short(travel)} of pad, "
        f"{each.part(travel):.0f} % of its way."
    )


def _best(meeting: Meeting) -> str:
    return (
        f"Up to {meeting.rule.effort[1]:.0f} N, all wheels turning, it makes "
        f"{trim(meeting.best, 2)} m/s2"
    )


def miss_text(each: Outcome) -> str:
    """Return why a failure misses what is asked, and what it makes; nothing else."""
    if each.meeting is None:
        return ""
    asked = f"{each.meeting.rule.deceleration:.2f} m/s2"
    return f"{each.case.name}, {asked}: {each.missed}. {_best(each.meeting)}"


def rules_text(found: Rehearsal) -> str:
    """Return what is asked of a stop, and who says so; empty without a car."""
    rules = [each.meeting.rule for each in found.outcomes if each.meeting is not None]
    said = {
        rule.name: f"{rule.name} {rule.deceleration:.2f} m/s2 with {rule.effort[1]:.0f} N "
        f"at most, {rule.source}"
        for rule in rules
    }
    return "; ".join(said.values())


def sum_text(found: Rehearsal) -> str:
    """Return what all of them come to."""
    if any(each.meeting is None for each in found.outcomes):
        return "what the car does is not checked: the file has no [vehicle]."
    misses = [each.case.name for each in found.misses]
    if misses:
        return f"what is asked is missed with {'; '.join(misses)}."
    return "each makes the stop that is asked of it, by these sums."
