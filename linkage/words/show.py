"""A design file read back in words: what a builder holds his tape against."""

from collections.abc import Sequence
from pathlib import Path

from linkage.design.records import Design
from linkage.design.values import Value
from linkage.motion.rest import PedalRest
from linkage.sweeping import standing
from linkage.units import BY_NAME, Measure, inches, out_of, trim
from linkage.words.account import account_lines, account_of
from linkage.words.bar import bar_lines
from linkage.words.figures import with_figures
from linkage.words.fittings import fitting_lines
from linkage.words.guesses import guess_lines, touches, twice_text
from linkage.words.loaded import loaded_guesses
from linkage.words.names import value_name
from linkage.words.points import Spot, point_rows, spots
from linkage.words.speech import Speech, paragraph, tidy
from linkage.words.sways import sways
from linkage.words.tape import Tape, agreement, tapes
from linkage.words.targets import target_notes


def show_text(design: Design, pedal: str, stamp: str = "") -> str:
    """Return one pedal read back in words.

    Parameters
    ----------
    design : Design
    pedal : str
        Its name in the design.
    stamp : str
        Which file this is of, with its date; its name alone where empty.

    Raises
    ------
    DesignError
        Where the pedal cannot stand at rest, or pressing works the wrong way.
    """
    speech, rest = Speech(design.units), standing(design, pedal)
    account, found = account_of(rest), tapes(design, rest)
    lines = [*_heading(design, pedal, stamp), "", "  As I read it"]
    said = [*_free(design, pedal, speech), *account_lines(design, rest, account)]
    if account.limit is None or account.limit.travel > 0.0:
        said += _burden(design, rest)
    said += _room(design, rest)
    said += bar_lines(rest)
    said += fitting_lines(design.pedals[pedal])
    said += target_notes(design.pedals[pedal], speech)
    for text in said:
        lines += paragraph(text)
    lines += ["", *_points(design, spots(rest)), "", *_tapes(found, speech)]
    if account.limit is None or account.limit.travel > 0.0:
        swayed = with_figures(design, pedal, sways(design, pedal))
        loaded = loaded_guesses(design, pedal)
        lines += ["", *guess_lines(design, pedal, swayed, loaded)]
        text = twice_text(design, swayed)
        lines += ["", *paragraph(text, 2, 2)] if text else []
    return "\n".join(lines) + "\n"


def _heading(design: Design, pedal: str, stamp: str) -> list[str]:
    title = tidy(design.title)
    lines = paragraph(f"{title}: {pedal}" if title else pedal, 0)
    lines += paragraph(f"{stamp or tidy(Path(design.file).name)}, {design.units}", 0)
    marks = design.footwell.marks
    said = [
        f"{way} from {tidy(mark)}"
        for way, mark in (("back", marks.back), ("up", marks.up))
        if mark
    ]
    return lines + (paragraph(f"Marks: {', '.join(said)}.", 0) if said else [])


def _free(design: Design, pedal: str, speech: Speech) -> list[str]:
    """Return how the numbers that are still free are read here."""
    said = []
    for path, each in design.values.items():
        if each.kind == "fixed" or not touches(design, path, pedal):
            continue
        name = value_name(design, path)
        if each.kind == "free":
            how = "near" if each.near is not None else "the middle"
            said.append(f"{name} {_number(each, speech)} ({how})")
        else:
            said.append(f"{name} {tidy(each.spelt[0], 20)} (the first choice)")
    said += [
        f'{value_name(design, path)} "{tidy(chosen.names[0], 20)}" (the first choice)'
        for path, chosen in design.choices.items()
        if touches(design, path, pedal)
    ]
    return [f"Still free, and read as: {'; '.join(said)}."] if said else []


def _number(each: Value, speech: Speech) -> str:
    if BY_NAME.get(each.unit, BY_NAME["mm"]).measure is Measure.LENGTH:
        return speech.short(each.nominal)
    return f"{trim(out_of(each.nominal, each.unit), 2)} {each.unit}"


def _burden(design: Design, rest: PedalRest) -> list[str]:
    """Return springs, friction and the leg read back, where the file has any."""
    pedal = rest.pedal
    if not (pedal.springs or pedal.friction or design.driver.hip):
        return []
    from linkage.words.burden import burden_lines

    return list(burden_lines(design, rest))


def _room(design: Design, rest: PedalRest) -> list[str]:
    """Return the footwell read back, where the file says more than floor and wall."""
    if not (design.footwell.fixed or design.driver.shoe):
        return []
    from linkage.words.footwell import room_lines

    return list(room_lines(design, rest))


# ------------------------------------------------------------------- points, tape


def _points(design: Design, found: tuple[Spot, ...]) -> list[str]:
    lines = _point_table(design, found, far=False)
    if any(spot.far for spot in found):
        lines += ["", "    Beyond the cable, from its own marks"]
        lines += _point_table(design, found, far=True)
    return lines


def _point_table(design: Design, found: tuple[Spot, ...], *, far: bool) -> list[str]:
    heads, rows = point_rows(design, found, far=far)
    wide = max(len(row[0]) for row in rows)
    columns = [
        _column([head, *(row[i] for row in rows)])
        for i, head in ((1, heads[0]), (2, heads[1]))
    ]
    names, hows = ["", *(row[0] for row in rows)], ["", *(row[3] for row in rows)]
    return [
        f"    {name:{wide}}  {x}  {z}  {how}".rstrip()
        for name, x, z, how in zip(names, *columns, hows, strict=True)
    ]


def _column(cells: list[str]) -> list[str]:
    """Return numbers set right under their head, with their words behind them."""
    parts = [cell.partition("|") for cell in cells]
    left = max(len(number) for number, _, _ in parts)
    right = max(len(word) for _, _, word in parts)
    return [f"{number:>{left}} {word:<{right}}" for number, _, word in parts]


def _tapes(found: Sequence[Tape], speech: Speech) -> list[str]:
    wide = max(len(tape.what) for tape in found)
    lines = ["  Lay a tape on these. You typed none of them."]
    lines += [
        f"    {tape.what:{wide}}  {_tape(tape, speech)}".rstrip() for tape in found
    ]
    out = agreement(found, speech.units)
    out_words = f"{out:.0f}" if speech.units == "mm" else inches(out, 16)
    lines.append(
        f"  One of them out by more than {out_words}? Then one reading above is wrong."
    )
    return lines


def _tape(tape: Tape, speech: Speech) -> str:
    if tape.full is None or tape.rest is None:
        size = tape.full or tape.rest or 0.0
        millimetres = Speech("mm").on_tape(size)
        both = [f"{millimetres:>6}", f"{inches(size):<11}"]
        if speech.units == "in":
            both = [f"{inches(size, tape.finest):<11}", f"{millimetres} mm"]
        note = "   (rests on a guess)" if tape.on_guess else ""
        return "   ".join(both) + note
    full, start = (_gap(tape, size, speech) for size in (tape.full, tape.rest))
    wide = 6 if speech.units == "mm" else 0
    return f"{full:>{wide}} at full, {start} at rest"


def _gap(tape: Tape, size: float, speech: Speech) -> str:
    """Return what lies between pad and mark; beyond that, which way, and no minus."""
    said = speech.on_tape(size)
    if not said.startswith("-"):
        return said
    return f"{said[1:]} {'below' if tape.what.startswith('pad above') else 'ahead'}"
