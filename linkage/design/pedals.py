"""One pedal: its points, its travel, its arm, its train and its targets."""

import difflib
from collections.abc import Mapping
from typing import Any, Literal, get_args

from linkage.design.arms import read_arm
from linkage.design.driver import PLATE_KEYS, read_plate
from linkage.design.forms import point_example
from linkage.design.friction import read_friction
from linkage.design.keys import Form, Key
from linkage.design.known import PEDAL, check_keys, is_stray
from linkage.design.lookup import Where, find
from linkage.design.names import NAME, TAKEN, Kinds
from linkage.design.points import number_behind, read_point
from linkage.design.reading import Node, Reading, one_of, shown
from linkage.design.records import (
    Duty,
    FullStop,
    Part,
    Pedal,
    Point,
)
from linkage.design.springs import read_springs
from linkage.design.targets import read_targets
from linkage.design.trains import NAME_RULE, read_train
from linkage.design.values import Value

DUTIES: tuple[Duty, ...] = get_args(Duty)
PRESSES = ("forward", "up", "down")
STOPS: tuple[Literal["tape", "back", "ahead", "up", "down"], ...] = (
    *("tape", "back", "ahead", "up", "down"),
)
TRAVEL = Key(
    name="travel",
    form=Form.NUMBER,
    placement=True,
    positive=True,
    least=5.0,
    most=600.0,
    says="the pad's travel from rest to full stop",
    example="travel = 120",
)
STOP = Key(name="full", form=Form.NUMBER, placement=True)
ACROSS = Key(name="across", form=Form.NUMBER)
THICK = Key(
    name="thick",
    form=Form.NUMBER,
    positive=True,
    most=100.0,
    says="the thickness of the pad",
    example="thick = 13",
)
#: What names something else in a file, and so no pedal.
RESERVED = (*TAKEN, "footwell", "vehicle", "circuit", "rules")
#: What a table of a pad's place may say of its plate besides.
FACE = tuple(key.name for key in PLATE_KEYS)


def read_pedal(reading: Reading, node: Node, kinds: Kinds) -> Pedal | None:
    """Read one pedal; None where anything in it cannot be used."""
    name = str(node.at[-1])
    before = reading.told
    if not NAME.fullmatch(name) or name in RESERVED:
        reading.fault(node.at, f"{shown(name)} cannot name a pedal.", NAME_RULE)
    check_keys(reading, node, PEDAL, kinds)
    duty = _duty(reading, node, name)
    points = _points(reading, node, name, kinds)
    full = _full(reading, node)
    press = _optional_word(reading, node, "press", PRESSES)
    thick = _thick(reading, node)
    plate = read_plate(reading, node.child("pad")) if "pad" in node.raw else {}
    train: tuple[Part, ...] = ()
    bar: Part | None = None
    if "train" in node.raw:
        train, bar = read_train(reading, node.child("train"), name, kinds)
        _check_clevis(reading, node)
    targets = (
        read_targets(reading, node.child("target"), name, kinds, full)
        if "target" in node.raw
        else ()
    )
    arm = read_arm(reading, node, points, kinds)
    springs = read_springs(reading, node, kinds)
    friction = read_friction(reading, node, kinds)
    across = _across(reading, node, points)
    locked = _locked(reading, node, name)
    if reading.told > before or duty is None or full is None:
        return None
    return Pedal(
        name=name,
        duty=duty,
        points=points,
        full=full,
        press=press,
        train=train,
        bar=bar,
        targets=targets,
        arm=arm,
        springs=springs,
        friction=friction,
        across=across,
        locked=locked,
        pad_thick=thick,
        **plate,
        line=reading.line(node.at),
        lines={key: reading.line((*node.at, key)) for key in node.raw},
    )


def _duty(reading: Reading, node: Node, name: str) -> Duty | None:
    """Read what a pedal is for; its name may say it."""
    if "duty" not in node.raw:
        if name in DUTIES:
            return next(duty for duty in DUTIES if duty == name)
        near = difflib.get_close_matches(name[:40], DUTIES, n=1)
        example = near[0] if near else "brake"
        right = f'Write duty = "{example}". {one_of(DUTIES)}'
        reading.missing(node.at, "duty", right)
        return None
    duty: Duty | None = _optional_word(reading, node, "duty", DUTIES)
    return duty


def _optional_word(
    reading: Reading, node: Node, key: str, words: tuple[str, ...]
) -> Any:
    return reading.word(node.child(key), words) if key in node.raw else None


def _points(reading: Reading, node: Node, name: str, kinds: Kinds) -> dict[str, Point]:
    """Read the pedal's own points and holes."""
    where = Where(pedal=name)
    points: dict[str, Point | None] = {}
    for key in ("pivot", "pad", "clevis"):
        if key in node.raw:
            also = ("thick", *FACE) if key == "pad" else ()
            place = Where(pedal=name, also=also)
            points[key] = read_point(reading, node.child(key), place)
        elif key != "clevis":
            reading.missing(
                node.at, key, f"Write {point_example(key, reading.text)}, say."
            )
    if "holes" in node.raw:
        example = "holes = { lower = [106, 484.5] }"
        table = reading.table(node.child("holes"), example)
        for hole in table.children() if table else ():
            if is_stray(reading, hole, kinds):
                continue
            _check_hole(reading, hole)
            points[f"holes.{hole.at[-1]}"] = read_point(reading, hole, where)
    return {key: point for key, point in points.items() if point is not None}


def _check_hole(reading: Reading, hole: Node) -> None:
    name = str(hole.at[-1])
    if not NAME.fullmatch(name) or name in TAKEN:
        reading.fault(hole.at, f"{shown(name)} cannot name a hole.", NAME_RULE)


def _check_clevis(reading: Reading, node: Node) -> None:
    """Say that a train needs its hole, unless its cable leaves a drum."""
    row = node.raw["train"]
    first = row[0] if isinstance(row, list) and row else row
    if not isinstance(first, dict):
        return
    cable = first.get("cable") if isinstance(first.get("cable"), dict) else {}
    drum = "drum" in first or "drum" in (cable or {})
    if "clevis" not in node.raw and not drum:
        example = point_example("clevis", reading.text)
        right = f"Write {example}: the hole that drives the train."
        reading.missing(node.at, "clevis", right)


def _full(reading: Reading, node: Node) -> FullStop | None:
    """Read where the travel ends."""
    if "travel" in node.raw and "full" in node.raw:
        wrong = "travel and full say the same thing twice."
        reading.fault((*node.at, "full"), wrong, "Keep the one you measured.")
        return None
    if "travel" in node.raw:
        value = reading.number(node.child("travel"), TRAVEL)
        return None if value is None else FullStop(value=value)
    if "full" not in node.raw:
        reading.missing(node.at, "travel", "Write travel = 120 (along the pad's arc).")
        return None
    table = reading.table(node.child("full"), "full = { tape = 148.5 }")
    if table is None:
        return None
    how = next((word for word in STOPS if [word] == list(table.raw)), None)
    if how is None:
        wrong = "full takes one of tape, back, ahead, up, down."
        reading.fault(table.at, wrong, "Write full = { tape = 148.5 }.")
        return None
    key = TRAVEL if how == "tape" else STOP
    value = number_behind(reading, table, how, key)
    return None if value is None else FullStop(value=value, how=how)


def _thick(reading: Reading, node: Node) -> Value | None:
    pad = node.raw.get("pad")
    if isinstance(pad, dict) and "thick" in pad:
        return reading.number(node.child("pad").child("thick"), THICK)
    return None


def _across(
    reading: Reading, node: Node, points: Mapping[str, Point]
) -> dict[str, Value]:
    """Read places across the car, positive to the driver's right."""
    if "across" not in node.raw:
        return {}
    example = "across = { pad = -20, clevis = 0, seat = 5 }"
    table = reading.table(node.child("across"), example)
    known: tuple[str, ...] = ("pivot", "pad", "clevis", "seat")
    known += tuple(k.removeprefix("holes.") for k in points if k.startswith("holes."))
    values = {}
    for place in table.children() if table else ():
        word = str(place.at[-1])
        if word not in known:
            wrong = f'"{word[:40]}" is no place of this pedal.'
            reading.fault(place.at, wrong, f"Known: {', '.join(known)}.")
            continue
        value = reading.number(place, ACROSS)
        if value is not None:
            values[word] = value
    return values


def _locked(reading: Reading, node: Node, name: str) -> tuple[str, ...]:
    """Read which points are welded."""
    if "locked" not in node.raw or node.child("locked").broken:
        return ()
    row = node.child("locked")
    if not isinstance(row.raw, list):
        wrong = f"{shown(row.raw)} stands where a list of names belongs."
        reading.fault(row.at, wrong, 'Write locked = ["pivot"].')
        return ()
    names = [
        find(reading, row.child(i), Where(pedal=name)) for i in range(len(row.raw))
    ]
    return tuple(dict.fromkeys(name for name in names if name))
