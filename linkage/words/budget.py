"""A brake's answer for people: where the pad's travel goes, and what the car does."""

from collections.abc import Iterator
from itertools import pairwise

from linkage.car.asking import Answer, Locking
from linkage.car.budget import Row, Sway, measured_first
from linkage.car.pistons import Piston
from linkage.car.road import Braked
from linkage.car.stopping import GRAVITY
from linkage.design.records import Design
from linkage.last_word import STOPS
from linkage.units import out_of, say, trim
from linkage.words.bar import bar_told
from linkage.words.effort import SCALES, Scale
from linkage.words.names import part_name
from linkage.words.speech import Speech, paragraph, sentence, table, tidy

#: Guesses told at most, and the share of the greatest sway that is worth telling.
MOST, WORTH = 5, 0.1
#: What is called no change: mm of pad, N of foot, g0.
NO_TRAVEL, NO_EFFORT, NO_LOCK = 0.5, 2.0, 0.01


def budget_text(design: Design, answer: Answer) -> str:
    """Return the table and the sentences of one answer."""
    speech, scale = Speech(design.units), SCALES[design.units]
    lines = [*paragraph(_title(design, answer, scale), 0), ""]
    lines += [*_table(answer, speech), ""]
    for name, text in told(design, answer, speech, scale):
        lines += sentence(name, text)
    return "\n".join(lines) + "\n"


def _title(design: Design, answer: Answer, scale: Scale) -> str:
    own, name = tidy(design.title), answer.rig.rest.pedal.name
    title = f"{own}: {name}" if own else name
    return (
        f"{title}. {asked_text(answer, scale)}. Lengths in {Speech(design.units).name}"
    )


def asked_text(answer: Answer, scale: Scale) -> str:
    """Return what was asked: "A stop at 0.8 g0, booster dead"."""
    driven = answer.rig.driven
    dead = ", booster dead" if isinstance(driven, Piston) and driven.dead else ""
    if driven.lost_circuit:
        dead += f", {tidy(driven.lost_circuit, 18)} circuit lost"
    if answer.of == "deceleration":
        rate = answer.size * GRAVITY
        return f"A stop at {trim(answer.size, 3)} g0 ({rate:.2f} m/s2){dead}"
    unit, digits = scale.of("N" if answer.of == "foot" else "MPa")
    size = say(answer.size, unit, max(digits, 1))
    what = "of foot" if answer.of == "foot" else "of line pressure"
    return f"{size} {what}{dead}"


# -------------------------------------------------------------------------- table


def _table(answer: Answer, speech: Speech) -> list[str]:
    rows = [_cells(row, speech) for row in answer.rows]
    volume = sum(row.volume or 0.0 for row in answer.rows) / 1000.0
    moved, pad = (
        sum(getattr(row, key) for row in answer.rows) for key in ("moved", "pad")
    )
    whole = [f"{volume:.2f}", speech.length(moved), speech.length(pad), "together"]
    heads = [("fluid", "cc"), ("of rod",), ("of pad",), ("",)]
    return table([*rows, whole], heads)


def _cells(row: Row, speech: Speech) -> list[str]:
    volume = "" if row.volume is None else f"{row.volume / 1000.0:.2f}"
    return [
        volume,
        speech.length(row.moved),
        speech.length(row.pad),
        f"{tidy(row.circuit, 18)} {row.cause}".strip(),
    ]


# ---------------------------------------------------------------------- sentences


def told(
    design: Design, answer: Answer, speech: Speech, scale: Scale
) -> Iterator[tuple[str, str]]:
    """Yield what the answer comes to, (name, sentence) in order."""
    if answer.missed:
        yield "MISSED", f"{answer.missed}. What follows is as near as it comes."
    foot, rig = answer.state.foot, answer.rig
    travel = float(foot.travel[0])
    left = speech.short(rig.travel - travel)
    yield (
        "Foot",
        (
            f"{_force(float(foot.effort[0]), scale)}, {speech.short(travel)} of pad; "
            f"{left} of pad left."
        ),
    )
    yield "Lines", _lines(answer, scale)
    stroke = float(answer.state.fluid.left[0])
    if stroke < 0.0:
        yield "Stroke", "used up before there is any pressure."
    elif stroke < float("inf"):
        yield "Stroke", f"{speech.short(stroke)} left before a piston is at its end."
    yield from bar_told(answer, speech)
    if answer.vacuums:
        yield "Engine", _engine(answer)
    if answer.state.car is not None:
        yield "Car", _car(answer, scale)
        yield "Locks", _locks(answer.locks, scale)
    else:
        yield "Car", "not checked: the file has no [vehicle]."
    yield from _guesses(design, answer, speech, scale)
    yield "Mind", STOPS


def _force(newtons: float, scale: Scale) -> str:
    unit, digits = scale.force
    other = "lbf" if unit == "N" else "N"
    return f"{say(newtons, unit, digits)} ({say(newtons, other, 0)})"


def _lines(answer: Answer, scale: Scale) -> str:
    unit, digits = scale.pressure
    other = "psi" if unit == "MPa" else "MPa"
    said = []
    for line in answer.rig.driven.lines:
        pressure = answer.state.fluid.pressures[line.name]
        behind = float(line.valve.out(pressure)[0])
        size = float(pressure[0])
        text = f"{tidy(line.name, 18)} {say(size, unit, digits)}"
        text += f" ({say(size, other, 0 if other == 'psi' else 2)})"
        if behind < size:
            text += f", {say(behind, unit, digits)} behind its valve"
        said.append(text)
    return f"{'; '.join(said)}."


def _engine(answer: Answer) -> str:
    """Return what is left of the vacuum without an engine."""
    first, *more = (say(each, "kPa", 0) for each in answer.vacuums)
    after = ", ".join([first, *more])
    return f"dead, stops like this one leave a vacuum of {after}, one after the other."


def _car(answer: Answer, scale: Scale) -> str:
    car = answer.state.car
    if car is None:
        return ""
    drag = say(float(car.front[0] + car.rear[0]), scale.force[0], 0)
    return f"{float(car.z[0]):.2f} g0, {drag} of drag; {_used(answer, car)}."


def _used(answer: Answer, car: Braked) -> str:
    """Return what each axle uses of the grip, or that it has locked."""
    grip = answer.rig.road.vehicle.grip if answer.rig.road else 0.0
    used = {"front": float(car.used_front[0]), "rear": float(car.used_rear[0])}
    turning = [axle for axle in used if axle not in answer.locked]
    if len(turning) == 2:
        shares = f"the front uses {used['front']:.2f}, the rear {used['rear']:.2f}"
        return f"of the grip of {grip:.2f} {shares}"
    locked = " and ".join(axle for axle in used if axle not in turning)
    rest = "".join(f", the {axle} uses {used[axle]:.2f}" for axle in turning)
    return f"{locked} wheels locked at a grip of {grip:.2f}{rest}"


def _locks(locks: tuple[Locking, ...], scale: Scale) -> str:
    if not locks:
        return "no axle, however hard it is pressed."
    said = [f"{each.lock.axle} {_lock(each, scale)}" for each in locks]
    return f"{said[0]}" + (f"; then {said[1]}." if len(said) > 1 else ".")


def _lock(each: Locking, scale: Scale) -> str:
    text = f"at {each.lock.z:.2f} g0"
    if each.effort is None:
        return f"{text}, which the pedal does not reach"
    return f"{text}, {_force(each.effort, scale)} of foot"


def _guesses(
    design: Design, answer: Answer, speech: Speech, scale: Scale
) -> Iterator[tuple[str, str]]:
    worth = [
        sway
        for sway in measured_first(answer.sways, WORTH)
        if sway.travelled >= NO_TRAVEL
    ]
    if not answer.sways:
        yield "Taken", "nothing: the file says it all."
        return
    if worth:
        said = "; ".join(_sway(design, sway, speech) for sway in worth[:MOST])
        yield "Next", f"measure these, in order: {said}."
    hard = max(answer.sways, key=lambda sway: sway.pushed)
    if hard.pushed >= NO_EFFORT:
        low, high = (_force(f, scale) for f in sorted(hard.effort))
        yield (
            "Effort",
            (
                f"leans most on {doubt_name(design, hard.doubt.path)}: {low} to {high} "
                "over what it may be."
            ),
        )
    yield from _leaning_lock(design, answer)
    rest = len(answer.sways) - len(worth[:MOST])
    if rest > 0:
        yield "Taken", f"{rest} more guesses that sway less; --json lists them all."


def _leaning_lock(design: Design, answer: Answer) -> Iterator[tuple[str, str]]:
    """Tell what the first lock rests on most, and where the stop itself does."""
    most = max(answer.sways, key=lambda sway: (sway.locked, sway.slowed))
    if most.lock is None or most.locked < NO_LOCK:
        return
    low, high = sorted(z for z in most.lock if z is not None)
    name = doubt_name(design, most.doubt.path)
    said = f"leans most on {name}: the first at {low:.2f} to {high:.2f} g0"
    if most.stop is not None and most.slowed >= NO_LOCK:
        low, high = sorted(most.stop)
        said += f", and this stop at {low:.2f} to {high:.2f} g0"
    yield "Lock", f"{said} over what it may be."


def _sway(design: Design, sway: Sway, speech: Speech) -> str:
    doubt = sway.doubt
    taken = doubt.unit == "mm" and not doubt.text
    unit = speech.units if taken else doubt.unit
    low, high = _size(doubt.low, "1", unit), _size(doubt.high, unit)
    said = f'"{tidy(doubt.text, 24)}"' if doubt.text else _size(doubt.nominal, unit)
    name = doubt_name(design, doubt.path)
    return f"{name} ({said}; {low} to {high} moves the pad by {speech.short(sway.travelled)})"


def _size(x: float, said: str, unit: str = "") -> str:
    """Return an internal value of ``unit`` with ``said`` behind it, "1" for nothing."""
    number = trim(out_of(x, unit or said), 3)
    return number if said == "1" else f"{number} {said}"


def doubt_name(design: Design, path: str) -> str:
    """Return what a number of a brake is called: "front pads' clearance"."""
    words = path.split(".")
    if words[0] == "circuit":
        circuit = design.circuits[words[1]]
        many = {"brake": len(circuit.brakes), "hose": len(circuit.hoses)}
        kept = [
            word
            for before, word in pairwise(words[1:])
            if not (word.isdecimal() and many.get(before, 2) == 1)
        ]
        return tidy(" ".join([words[1], *kept]).replace("_", " "), 60)
    if words[0] in design.pedals and words[1] == "train":
        pedal, key = design.pedals[words[0]], path.partition(".")[2]
        part = pedal.part_of(key)
        said = f"{part_name(pedal, part)} {key.removeprefix(f'{part.label}.')}"
        return tidy(said.replace(".", " ").replace("_", " "), 60)
    return tidy(" ".join(words).replace("_", " "), 60)
