"""Targets: what is wanted of which quantity, and where along the travel."""

import re
from collections.abc import Mapping
from typing import Any, Literal

from msgspec.structs import replace

from linkage.design.grammar import read_number
from linkage.design.known import TARGET, check_keys
from linkage.design.limits import with_example
from linkage.design.lookup import Where, find
from linkage.design.names import Kinds
from linkage.design.nearest import nearest
from linkage.design.quantity_names import BETWEEN, LOADED, NAMES, WITHIN
from linkage.design.reading import Node, Reading, one_of, shown
from linkage.design.records import FullStop, Place, State, Target
from linkage.design.spelling import bare, with_unit
from linkage.design.terms import HOW, Misread
from linkage.design.values import Value
from linkage.units import BY_NAME, Measure, out_of, say, trim

AT_EXAMPLE = 'Write "rest", "full", "60 %", "35 mm" or "0 to 70 mm".'
_WANTED = ("is", "least", "most", "prefer")
#: A wish, as an example.
_WISH = {
    Measure.LENGTH: "24",
    Measure.PURE: "5.5",
    Measure.ANGLE: "0",
    Measure.PERCENT: "5 %",
    Measure.FORCE: "300 N",
    Measure.PRESSURE: "7 MPa",
    Measure.ACCELERATION: "0.6 g0",
}
_USUAL_UNIT = {
    Measure.ANGLE: "deg",
    Measure.PERCENT: "%",
    Measure.PURE: "1",
    Measure.FORCE: "N",
    Measure.PRESSURE: "MPa",
    Measure.ACCELERATION: "g0",
}
#: What is known of a pressed brake where a target gives a state for a place.
_STATES: Mapping[Literal["foot", "pressure", "deceleration"], Measure] = {
    "foot": Measure.FORCE,
    "pressure": Measure.PRESSURE,
    "deceleration": Measure.ACCELERATION,
}
_CASE = re.compile(r"booster dead|[A-Za-z0-9_-]+ lost")


def read_targets(
    reading: Reading, node: Node, pedal: str, kinds: Kinds, full: FullStop | None
) -> tuple[Target, ...]:
    """Read all targets of a pedal, counted from 1; ``full`` is where its travel ends."""
    rows = reading.tables(node)
    targets = [
        _target(reading, row, number, pedal, kinds)
        for number, row in enumerate(rows, 1)
    ]
    for row, target in zip(rows, targets, strict=True):
        if target is not None and full is not None:
            _check_stop(reading, row, target.at, full)
    return tuple(target for target in targets if target is not None)


def _check_stop(reading: Reading, node: Node, place: Place, full: FullStop) -> None:
    """Say so of a place that lies beyond all the travel that the pedal may have."""
    value = full.value
    most = max(value.options or (value.high or value.nominal,))
    if place.share or full.how != "travel" or not place.is_beyond(most):
        return
    free = "" if value.kind == "fixed" else " at most"
    reading.fault((*node.at, "at"), *beyond_stop(place.text, most, value.unit, free))


def beyond_stop(text: str, most: float, unit: str, free: str = "") -> tuple[str, str]:
    """Return the sentence for a place beyond the full stop; ``most`` in mm."""
    size = say(most, unit, 2)
    wrong = f'"{text}" lies beyond the full stop: the pad travels {size}{free}.'
    return wrong, f'Write "full", or up to "{size}".'


def _target(
    reading: Reading, node: Node, number: int, pedal: str, kinds: Kinds
) -> Target | None:
    before = reading.told
    check_keys(reading, node, TARGET, kinds)
    of = _quantity(reading, node)
    place = _place(reading, node.child("at")) if "at" in node.raw else Place()
    which = _which(reading, node)
    case = _case(reading, node)
    if of is None or place is None:
        return None
    if case and place.state is None and of not in LOADED:
        wrong = f"{of} is of the bare mechanism there, whatever has failed."
        right = 'Give at = "500 N", "7 MPa" or "0.8 g0", or take case out.'
        reading.fault((*node.at, "case"), wrong, right)
    between = _between(reading, node, of, pedal)
    wanted = {
        key: _number(reading, node, key, NAMES[of])
        for key in ("is", "within", "least", "most")
    }
    prefer: Any = None
    if "prefer" in node.raw:
        prefer = reading.word(node.child("prefer"), ("small", "large"))
    _check_wish(reading, node, wanted, slip=any(key not in TARGET for key in node.raw))
    if reading.told > before or not any(key in node.raw for key in _WANTED):
        return None
    target = _build(reading, node, number, of, place, wanted)
    return replace(target, prefer=prefer, which=which, between=between, case=case)


def _build(
    reading: Reading,
    node: Node,
    number: int,
    of: str,
    place: Place,
    wanted: dict[str, Value | None],
) -> Target:
    measure = NAMES[of]
    size = {key: value.nominal if value else None for key, value in wanted.items()}
    said = size["within"] is not None
    if size["is"] is not None and not said:
        size["within"] = read_number(WITHIN[measure], measure).nominal
    given = next((value for value in wanted.values() if value), None)
    return Target(
        number=number,
        of=of,
        at=place,
        exact=size["is"],
        within=size["within"],
        within_said=said,
        least=size["least"],
        most=size["most"],
        unit=given.unit if given else _USUAL_UNIT.get(measure, reading.units),
        line=reading.line(node.at),
    )


def _quantity(reading: Reading, node: Node) -> str | None:
    """Read what a target is about."""
    if "of" not in node.raw:
        reading.missing(node.at, "of", 'Write of = "stroke", say.')
        return None
    word = node.child("of")
    if word.broken:
        return None
    name = word.raw.replace("_", " ") if isinstance(word.raw, str) else ""
    if name in NAMES:
        return name
    near = nearest(str(word.raw), NAMES)
    right = f'Nearest: "{near}".' if near else one_of(tuple(NAMES))
    reading.fault(word.at, f"{shown(word.raw)} is not something I can measure.", right)
    return None


def _number(reading: Reading, node: Node, key: str, measure: Measure) -> Value | None:
    """Read one number of a wish; it is no value that may be placed."""
    if key not in node.raw or node.child(key).broken:
        return None
    at = (*node.at, key)
    try:
        value = read_number(node.raw[key], measure, reading.units)
    except Misread as misread:
        right = with_example(misread, _example(key, measure))
        if misread.right == HOW:
            right = f"Write {_example(key, measure)}; limits are least and most."
        reading.fault(at, misread.wrong, right)
        return None
    if wrong := _no_wish(value, key, measure):
        reading.fault(at, *wrong)
        return None
    return value


def _example(key: str, measure: Measure) -> str:
    size = WITHIN[measure] if key == "within" else _WISH[measure]
    return f"{key} = {bare(size)}"


def _no_wish(value: Value, key: str, measure: Measure) -> tuple[str, str] | None:
    """Return why a value is no number of a wish, None where it is one."""
    if value.guess:
        return f'"{value.text}" is a guess, and a target is a wish.', "Leave about out."
    if key == "within" and value.kind == "fixed" and value.nominal <= 0.0:
        right = f"Write {_example(key, measure)}, say."
        return f"{value.text} is not more than 0.", right
    if value.kind == "fixed" and value.give is None:
        return None
    right = _example(key, measure)
    if key == "is" and value.low is not None and value.high is not None:
        right = f"least = {_put(value.low, value)} and most = {_put(value.high, value)}"
    elif key == "is" and value.give is not None:
        nominal, give = _put(value.nominal, value), _put(value.give, value)
        right = f"is = {nominal} and within = {give}"
    return f'"{value.text}": {key} takes one number.', f"Write {right}."


def _put(size: float, value: Value) -> str:
    """Return a number as the file would have it, in the unit of a value."""
    return bare(with_unit(value, trim(out_of(size, value.unit), 4)))


def _check_wish(
    reading: Reading, node: Node, wanted: dict[str, Value | None], *, slip: bool
) -> None:
    """Say which wishes of one target do not go together.

    ``slip``: a key that is not known may be the wish that is missing.
    """
    given = [key for key in _WANTED if key in node.raw]
    low, high = wanted["least"], wanted["most"]
    if not given:
        if not slip:
            wrong = "says nothing of what it should be."
            reading.fault(node.at, wrong, "Write is, least, most or prefer.")
    elif len(given) > 1 and given != ["least", "most"]:
        wrong = f"{' and '.join(given)} stand in one target."
        right = "Only least and most go together; make two targets of it."
        reading.fault((*node.at, given[-1]), wrong, right)
    elif "within" in node.raw and "is" not in node.raw:
        wrong = f"within goes with is, and this target has {given[0]}."
        reading.fault((*node.at, "within"), wrong, "Take it out, or write is.")
    if low is not None and high is not None and low.nominal > high.nominal:
        wrong = f"least {low.text} is more than most {high.text}."
        reading.fault((*node.at, "least"), wrong, "Change them round.")


def _between(reading: Reading, node: Node, of: str, pedal: str) -> tuple[str, ...]:
    """Read the points that a distance or an angle lies between."""
    count = BETWEEN.get(of, 0)
    example = '["pad", "clevis"]' if count == 2 else '["pad", "pivot", "clevis"]'
    if "between" not in node.raw:
        if count:
            reading.missing(node.at, "between", f"Write between = {example}.")
        return ()
    row = node.child("between")
    if row.broken:
        return ()
    if not isinstance(row.raw, list) or len(row.raw) != count:
        wrong = f"{of} takes {count or 'no'} points."
        right = f"Write between = {example}." if count else "Take between out."
        right += " The angle is at the middle one." if count == 3 else ""
        reading.fault(row.at, wrong, right)
        return ()
    names = [find(reading, row.child(i), Where(pedal=pedal)) for i in range(count)]
    good = tuple(name for name in names if name)
    if len(set(good)) < len(good):
        reading.fault(
            row.at, "one point stands in it twice.", "Name points that differ."
        )
    return good


def _which(reading: Reading, node: Node) -> str | int | None:
    """Read which branch or rod a target is about."""
    if "which" not in node.raw or node.child("which").broken:
        return None
    raw: Any = node.raw["which"]
    if isinstance(raw, str) or (isinstance(raw, int) and raw is not True and raw > 0):
        return raw
    right = 'Write which = 1 (counted from the arm), or "front".'
    reading.fault((*node.at, "which"), f"{shown(raw)} picks nothing.", right)
    return None


# ------------------------------------------------------------- along the travel


def _place(reading: Reading, node: Node) -> Place | None:
    """Read where along the travel a target looks."""
    if node.broken:
        return None
    if node.raw == "rest" or node.raw == "full":
        end = 0.0 if node.raw == "rest" else 1.0
        return Place(low=end, high=end, text=node.raw)
    state = _state(node.raw)
    if state is not None:
        return Place(low=0.0, high=0.0, share=False, text=node.raw, state=state)
    share = isinstance(node.raw, str) and "%" in node.raw
    measure = Measure.PERCENT if share else Measure.LENGTH
    try:
        value = read_number(node.raw, measure, reading.units)
    except Misread as misread:
        reading.fault(node.at, misread.wrong, AT_EXAMPLE)
        return None
    low, high = value.low, value.high
    if low is None or high is None:
        low = high = value.nominal
    if value.options or value.give or value.near is not None or value.guess:
        reading.fault(node.at, f"{shown(node.raw)} is no place.", AT_EXAMPLE)
        return None
    if low < 0.0:
        wrong = f"{shown(node.raw)} lies before the rest stop."
        reading.fault(node.at, wrong, AT_EXAMPLE)
        return None
    if share and high > 100.0:
        wrong = f"{shown(node.raw)} lies beyond the full stop."
        reading.fault(node.at, wrong, 'Write "full", or up to "100 %".')
        return None
    size = 100.0 if share else 1.0
    return Place(low=low / size, high=high / size, share=share, text=value.text)


def _state(raw: Any) -> State | None:
    """Read a state of a pressed brake; None where it is none."""
    if not isinstance(raw, str):
        return None
    for of, measure in _STATES.items():
        try:
            value = read_number(raw, measure)
        except Misread:
            continue
        plain = value.kind == "fixed" and value.give is None and not value.guess
        if not plain or value.nominal <= 0.0:
            return None
        size = value.nominal
        if of == "deceleration":
            size /= float(BY_NAME["g0"].factor)
        return State(of=of, size=size)
    return None


def _case(reading: Reading, node: Node) -> str:
    """Read what has failed; empty for nothing."""
    if "case" not in node.raw or node.child("case").broken:
        return ""
    raw: Any = node.raw["case"]
    if isinstance(raw, str) and _CASE.fullmatch(raw):
        return raw
    right = 'Write case = "booster dead" or case = "front lost", say.'
    reading.fault((*node.at, "case"), f"{shown(raw)} is no case.", right)
    return ""
