"""How targets, and the numbers that are placed, are said to people."""

from collections.abc import Iterator, Mapping

from linkage.design.records import Chosen, Design, Pedal, Target
from linkage.design.values import Value
from linkage.quantities.register import QUANTITIES
from linkage.units import Measure, out_of, say, trim
from linkage.words.names import value_name
from linkage.words.speech import Speech

#: Units and decimals of what a pressed brake has, in a file of mm and of inches.
LOADS: Mapping[Measure, tuple[tuple[str, int], tuple[str, int]]] = {
    Measure.FORCE: (("N", 0), ("lbf", 0)),
    Measure.PRESSURE: (("MPa", 2), ("psi", 0)),
    Measure.ACCELERATION: (("g0", 2), ("g0", 2)),
}


def placed_name(design: Design, path: str, pedals: tuple[str, ...]) -> str:
    """Return what a value is called, the pedal said where there are several."""
    head, name = path.partition(".")[0], value_name(design, path)
    return f"{head}: {name}" if len(pedals) > 1 and head in pedals else name


def said_value(value: Value, number: float, digits: int | None = None) -> str:
    """Return a number in the unit in which the file speaks of it."""
    if digits is None:
        digits = {"in": 4, "deg": 2}.get(value.unit, 2)
    text = trim(out_of(number, value.unit), digits)
    return f"{text} deg" if value.unit == "deg" else text


def allowed(each: Value | Chosen) -> str:
    """Return what a free value or a choice allows, as the file says it."""
    if isinstance(each, Chosen):
        return ", ".join(each.names)
    return ", ".join(each.spelt) if each.kind == "choice" else each.text


def target_words(target: Target, pedal: str = "") -> str:
    """Return what a target is of and where: "ratio at 65 mm", "rod angle, 0 to 70 mm"."""
    which = "" if target.which is None else f" {target.which}"
    ends = "-".join(name.partition(".")[2] or name for name in target.between)
    of = f"{target.of}{which}" + (f" {ends}" if ends else "")
    lead = f"{pedal}: " if pedal else ""
    if target.at.text == "whole travel":
        return f"{lead}{of}, everywhere"
    if target.at.single:
        case = f", {target.case}" if target.case else ""
        return f"{lead}{of} at {target.at.text}{case}"
    return f"{lead}{of}, {target.at.text}"


def wanted_words(target: Target, speech: Speech) -> str:
    """Return what a target wants: "24, within 0.2", "5.5 at least", "small"."""
    if target.exact is not None and target.within is not None:
        exact, within = (quantity(target, n, speech, 3) for n in _exact(target))
        return f"{exact}, within {within}"
    said = []
    if target.least is not None:
        said.append(f"{quantity(target, target.least, speech, 3)} at least")
    if target.most is not None:
        said.append(f"{quantity(target, target.most, speech, 3)} at most")
    return ", ".join(said) or f"as {target.prefer} as it goes"


def target_notes(pedal: Pedal, speech: Speech) -> Iterator[str]:
    """Say what was taken for targets where the file is silent.

    That is ``within`` left out, and where another pedal is that a target is measured to.
    """
    for target in pedal.targets:
        lead = f"Line {target.line}, {target_words(target)}:"
        if target.within is not None and not target.within_said:
            size = quantity(target, target.within, speech, 3)
            yield f"{lead} within is not given, so {size} is taken."
        owners = [name.partition(".")[0] for name in target.between]
        others = [each for each in owners if each not in (pedal.name, "point")]
        if others:
            names = " and ".join(dict.fromkeys(others))
            yield f"{lead} {names} {'is' if len(set(others)) == 1 else 'are'} at rest."


def _exact(target: Target) -> tuple[float, float]:
    return target.exact or 0.0, target.within or 0.0


def quantity(
    target: Target, number: float, speech: Speech, digits: int | None = None
) -> str:
    """Return a number of a target's quantity, for people."""
    measure = QUANTITIES[target.of].measure
    if measure in LOADS:
        return _load(measure, number, speech, digits)
    unit = QUANTITIES[target.of].unit
    if unit == "mm":
        return speech.short(number, digits)
    if unit == "1":
        return trim(number, 2 if digits is None else digits)
    if unit == "%":
        return f"{trim(number, digits or 1)} %"
    return f"{trim(out_of(number, 'deg'), digits or 1)} deg"


def _load(measure: Measure, number: float, speech: Speech, digits: int | None) -> str:
    """Return a force, a pressure or a deceleration with its unit."""
    unit, usual = LOADS[measure][0 if speech.units == "mm" else 1]
    return say(number, unit, usual if digits is None else max(usual, digits - 1))
