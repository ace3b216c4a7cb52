"""The footwell in words: what comes nearest to what, and the pads side by side."""

from collections.abc import Iterator, Sequence

from linkage.design.records import Design
from linkage.design.room_records import Fixed
from linkage.faults import DesignError
from linkage.footwell.clearance import Clearance, clearances
from linkage.footwell.document import is_furnished
from linkage.footwell.moving import high, wide
from linkage.footwell.pads import PadGap, pad_gaps
from linkage.motion.rest import PedalRest
from linkage.words.speech import Speech, paragraph, tidy

#: Things beyond these many are not told: the nearest ones are.
MOST = 6


def gap_lines(rest: PedalRest, upto: float) -> list[str]:
    """Return the clearance table, an empty line first; nothing in a bare footwell.

    Parameters
    ----------
    rest : PedalRest
    upto : float
        mm of pad.
    """
    design = rest.places.design
    speech = Speech(design.units)
    lines: list[str] = []
    if is_furnished(design):
        lines += ["", f"  Nearest on the way, {speech.name}"]
        try:
            lines += list(_rows(nearest_of(rest, upto), speech))
        except DesignError as error:
            lines += paragraph(f"Not known: {error.faults[0].wrong}")
    return lines


def beside_texts(design: Design, pedal: str, speech: Speech) -> list[str]:
    """Return a sentence for each pad beside that of a pedal."""
    return [
        beside(pad, pedal, speech)
        for pad in pad_gaps(design)
        if pedal in (pad.left, pad.right)
    ]


def nearest_of(rest: PedalRest, upto: float) -> list[Clearance]:
    """Return the nearest part of the pedal for each thing, the least gap first.

    Raises
    ------
    DesignError
        No arm can be shaped round the pedal's holes.
    """
    found: dict[str, Clearance] = {}
    for each in clearances(rest, upto):
        found.setdefault(each.thing, each)
    return list(found.values())[:MOST]


def _rows(found: Sequence[Clearance], speech: Speech) -> Iterator[str]:
    names = [f"{each.part} to {tidy(each.thing, 30)}" for each in found]
    wide = max(map(len, names), default=0)
    for name, each in zip(names, found, strict=True):
        yield f"    {name:{wide}}  {gap_text(each, speech)}"
    if not found:
        yield "    nothing stands in its way"


def gap_text(each: Clearance, speech: Speech) -> str:
    """Return a least gap in words: "12.3 at 92.0", "touches at 92.0, 7.1 deep ..."."""
    at = speech.length(each.travel)
    if each.touch is None:
        return f"{speech.length(each.gap)} at {at} of pad"
    first = speech.length(each.touch)
    start = "touches at rest" if each.touch <= 0.0 else f"touches at {first} of pad"
    return f"{start}; {speech.length(-each.gap)} in its way at {at}"


def beside(pad: PadGap, pedal: str, speech: Speech) -> str:
    """Return how a pad lies beside its neighbour: edges, and faces at rest and full."""
    mine = pedal == pad.left
    other, side = (pad.right, "right") if mine else (pad.left, "left")
    edge = f"{speech.short(pad.edge)} between their edges"
    if pad.edge < 0.0:
        edge = f"their edges overlap by {speech.short(-pad.edge)}"
    step = pad.step if mine else -pad.step
    full = pad.left_full if mine else -pad.right_full
    said = f"The {other} pad is to the {side}: {edge}. At rest this face is "
    said += f"{_way(step, speech)}; at full, {_way(full, speech)}"
    if pad.level is not None and step > 0.0:
        said += f". They are level at {speech.length(pad.level)} of pad"
    return f"{said}."


def _way(step: float, speech: Speech) -> str:
    size = speech.short(abs(step))
    if size == "0":
        return "level with it"
    return f"{size} {'nearer to you' if step > 0.0 else 'beyond it'}"


def room_lines(design: Design, rest: PedalRest) -> Iterator[str]:
    """Yield what the file says of the footwell, read back, and what was taken."""
    if not is_furnished(design):
        return
    speech = Speech(design.units)
    if design.footwell.fixed:
        things = "; ".join(_thing(each, speech) for each in design.footwell.fixed)
        yield f"In the way: {things}."
    shoe, pedal = design.driver.shoe, rest.pedal
    if shoe is not None:
        sizes = (shoe.length, shoe.width, shoe.sole, shoe.height)
        length, across, sole, over = (
            f"{'about ' if size.guess else ''}{speech.short(size.nominal)}"
            for size in sizes
        )
        stands = "its heel planted" if design.driver.heel else "flat on the pad"
        yield (
            f"Shoe {length} long, {across} wide, sole {sole}, {over} over the toes, "
            f"{stands}. What is above a line from heel to toes is not looked at."
        )
    taken = [
        f"{speech.short(size)} {word}"
        for size, word, given in (
            (wide(pedal), "wide", pedal.pad_wide),
            (high(pedal), "high", pedal.pad_high),
        )
        if given is None
    ]
    if taken:
        yield f"Not given, so taken: a pad {' and '.join(taken)}."


def _thing(each: Fixed, speech: Speech) -> str:
    name = tidy(each.name, 40)
    if each.across is None:
        return f"{name}, all across"
    low, top = each.across
    return f"{name}, {_side(low, speech)} to {_side(top, speech)}"


def _side(at: float, speech: Speech) -> str:
    size = speech.short(abs(at))
    if size == "0":
        return "the middle"
    return f"{size} {'right' if at > 0.0 else 'left'}"
