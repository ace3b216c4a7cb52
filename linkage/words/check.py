"""A report for people: findings by gravity, each with value, limit, reason, source."""

from collections.abc import Iterator, Sequence

from linkage.design.records import Design
from linkage.findings.records import Change, Finding, Measured, Report
from linkage.last_word import REPORT
from linkage.limits.bands import Limit
from linkage.units import Measure, say
from linkage.words.band import OK, band_text, limit_text, sized, value_text
from linkage.words.budget import doubt_name
from linkage.words.names import value_name
from linkage.words.speech import WIDTH, Speech, paragraph, tidy

#: Signs of the verdicts, for those who do not read words.
SIGNS = {"fail": "x", "caution": "!", "ok": "+", "not checked": "?"}
WORDS = {"fail": "FAIL", "caution": "CAUTION", "ok": "ok", "not checked": "NOT CHECKED"}
#: Wide enough for most values.
VALUE = 15
_IN = 12

#: For those who put their names to a sheet.
SIGNED = "Measured by ____________    Checked by ____________"


def check_text(
    design: Design, report: Report, stamp: str = "", *, working: bool = False
) -> str:
    """Return a report.

    Parameters
    ----------
    stamp : str
        File, date and print of the design.
    working : bool
        True for the formula with its numbers, and the source, of every finding.
    """
    lines = [*paragraph(_title(design, report), 0), *([stamp] if stamp else [])]
    lines += [*_open(design, report), ""]
    names, speech = names_of(report), Speech(design.units)
    done = [i for i, each in enumerate(report.findings) if each.lack is None]
    wide = max((len(names[i]) for i in done), default=0)
    for i in done:
        each = report.findings[i]
        lines.append(_head(each, names[i], wide, speech))
        lines += _under(design, each, working=working)
    lines += _unchecked(report)
    lines += ["", *_own(design, report), *_guesses(design, report), ""]
    lines += [
        *paragraph(REPORT, 0),
        SIGNED,
    ]
    return "\n".join(lines) + "\n"


def _title(design: Design, report: Report) -> str:
    pedals = list(dict.fromkeys(each.pedal for each in report.findings))
    names = f"{', '.join(pedals[:-1])} and {pedals[-1]}" if pedals[1:] else pedals[0]
    own = tidy(design.title)
    return (
        f"{f'{own}: ' if own else ''}{names}. Rules: {rules_text(report)}. "
        f"{count_text(report)}"
    )


def _open(design: Design, report: Report) -> list[str]:
    """Return a line on what is still free, and how it is read."""
    if not report.free:
        return []
    names = "; ".join(value_name(design, path) for path in report.free)
    return paragraph(
        f"Still free, and read as its near, its middle or its first choice: {names}.", 0
    )


def rules_text(report: Report) -> str:
    """Return which rules these are: "student (FSAE ...), 1 limit of its own"."""
    edition = f" ({report.edition})" if report.edition else ""
    count = len(report.own)
    more = f", {count} limit{'s' if count > 1 else ''} of its own" if count else ""
    return f"{report.rules}{edition}{more}"


def count_text(report: Report) -> str:
    """Return how many of each: "1 fail, 1 caution, 4 ok, 5 NOT CHECKED"."""
    said = {**WORDS, "fail": "fail", "caution": "caution"}
    return ", ".join(f"{report.count(v)} {said[v]}" for v in said)  # type: ignore[arg-type]


# ------------------------------------------------------------------------- findings


def _under(design: Design, each: Finding, *, working: bool) -> Iterator[str]:
    """Yield the lines under the first line of a finding."""
    for text in told(design, each, working=working):
        yield from paragraph(text, _IN)


def told(design: Design, each: Finding, *, working: bool = False) -> list[str]:
    """Return what is said of a finding beside its value and limit, a text each.

    Of what is in order nothing, but for its ``working``.
    """
    got = each.measured
    if got is None:
        return []
    grave = each.verdict in ("fail", "caution")
    texts = []
    if grave:
        texts.append(f"{each.why}{_where(design, each, got)}")
    if each.verdict == "fail":
        texts.append(_cure(design, each))
    if working and got.working:
        texts.append(got.working)
    if working and not grave and got.note:
        texts.append(f"{got.note}.")
    if grave and got.leans:
        texts.append(f"Leans on guesses: {_names(design, got.leans)}.")
    if grave or working:
        texts.append(f"Source: {each.source}.{_reason(each.limit)}")
    return texts


def _where(design: Design, each: Finding, got: Measured) -> str:
    """Return where along the travel it is found, and what it leaves out."""
    speech = Speech(design.units)
    said = [tidy(got.note, 160)] if got.note else []
    if got.at and each.measure is not Measure.TIME:
        said.insert(0, f"at {speech.short(got.at, speech.coarse)} of pad")
    text = "; ".join(said)
    return f" {text[:1].upper()}{text[1:]}." if text else ""


def _head(each: Finding, name: str, wide: int, speech: Speech) -> str:
    """Return the first line of a finding."""
    sign = f" {SIGNS[each.verdict]} {WORDS[each.verdict]}"
    shown, limit = value_text(each, speech), limit_text(each, speech)
    line = f"{sign:<{_IN}}{name:<{wide}}  {shown:<{VALUE}} {limit}".rstrip()
    if len(line) > WIDTH:
        line = line.partition(OK)[0]
    if each.verdict != "ok" or each.measured is None:
        return line
    count = len(each.measured.leans)
    notes = [each.limit.kind if each.limit else "", f"{count} guessed" if count else ""]
    for note in filter(None, notes):
        line += f"  {note}" if len(line) + len(note) + 2 <= WIDTH else ""
    return line


def names_of(report: Report) -> dict[int, str]:
    """Return what each finding is called in this report, by its place."""
    several = _is_of_several(report)
    return {
        i: f"{each.pedal}: {each.name}" if several else each.name
        for i, each in enumerate(report.findings)
    }


def _is_of_several(report: Report) -> bool:
    return len({each.pedal for each in report.findings}) > 1


def _reason(limit: Limit | None) -> str:
    return (
        f' Its reason: "{tidy(limit.reason, 120)}".' if limit and limit.reason else ""
    )


# --------------------------------------------------------------------------- a cure


def _cure(design: Design, each: Finding) -> str:
    if each.change is not None:
        return change_text(design, each, each.change)
    if each.name.startswith("Target: "):
        return "Several numbers may be set free for it: footwell place."
    return "No single change of its points that cures it was found."


def change_text(design: Design, each: Finding, change: Change) -> str:
    """Return a change, what it comes to, and what it would break."""
    given = design.values[change.path]
    speech = Speech(design.units)
    now, new = (
        speech.size(x) if given.unit in ("mm", "in") else say(x, given.unit, 1)
        for x in (change.now, change.new)
    )
    found = "" if change.value is None else sized(each.measure, change.value, speech)
    text = f"Estimate, then tried: {value_name(design, change.path)} {new} (now {now}) "
    text += f"gives {found}: {change.verdict}."
    if change.breaks:
        return f"{text} But then fails: {'; '.join(change.breaks)}."
    return text


# ---------------------------------------------------------------------- not checked


def _unchecked(report: Report) -> Iterator[str]:
    """Yield the lines of what was not checked."""
    for names, why in lacking(report):
        yield from paragraph(f"? NOT CHECKED  {names}", 1, 15)
        yield from paragraph(why, 16)


def lacking(report: Report) -> Iterator[tuple[str, str]]:
    """Yield what was not checked and why, those that lack the same together."""
    groups: dict[tuple[str, str], dict[str, list[str]]] = {}
    for each in report.findings:
        if each.lack is not None:
            group = groups.setdefault((each.lack.what, each.lack.give), {})
            group.setdefault(each.name, []).append(each.pedal)
    several = _is_of_several(report)
    for (what, give), names in groups.items():
        said = "; ".join(
            f"{name} ({', '.join(pedals)})" if several else name
            for name, pedals in names.items()
        )
        ask = f" Give {give}." if give else ""
        yield said, f"{what[:1].upper()}{what[1:]}.{ask}"


# --------------------------------------------------------------- guesses, own limits


def _own(design: Design, report: Report) -> Iterator[str]:
    speech = Speech(design.units)
    measures = {each.limit.name: each.measure for each in report.findings if each.limit}
    for limit in report.own:
        measure = measures.get(limit.name)
        band = "not of these pedals"
        if measure is not None:
            band = band_text(limit.fail_under, limit.fail_over, measure, speech)
        text = f'Own limit: {limit.name}, {band}. "{tidy(limit.reason, 120)}"'
        yield from paragraph(text, 2, 4)


def _guesses(design: Design, report: Report) -> Iterator[str]:
    """Yield every guess, with the findings that lean on it; alike ones together."""
    yield f"  Guesses: {len(report.guesses) or 'none'}"
    groups: dict[tuple[str, ...], list[str]] = {}
    for path, (said, leaning) in report.guesses.items():
        groups.setdefault(leaning, []).append(f"{guess_name(design, path)} ({said})")
    for leaning, names in groups.items():
        what = "; ".join(leaning) or "Nothing that was checked"
        verb = "leans" if len(leaning) < 2 else "lean"
        yield from paragraph(f"{what} {verb} on: {', '.join(names)}.", 4, 2)


def _names(design: Design, paths: Sequence[str]) -> str:
    return ", ".join(guess_name(design, path) for path in paths)


def guess_name(design: Design, path: str) -> str:
    """Return what a guessed number is called."""
    words = path.split(".")
    if words[0] in design.pedals and words[1] == "arm":
        return " ".join(words[1:])
    hydraulic = words[0] in ("circuit", "vehicle") or path not in design.values
    return doubt_name(design, path) if hydraulic else value_name(design, path)
