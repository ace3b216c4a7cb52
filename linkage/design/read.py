"""Read a design file: good ones into a `Design`, others into all their faults.

``read_text`` and ``read_file`` take the kinds of parts as a register; this package
knows no part by itself.
"""

import difflib
import re
import tomllib
from decimal import Decimal
from pathlib import Path
from typing import Any

from linkage.design.car import read_footwell, read_shared
from linkage.design.circles import check_circles
from linkage.design.circuits import check_circuits, read_circuits
from linkage.design.driver import read_driver
from linkage.design.known import PEDAL, TOP, check_keys
from linkage.design.lines import ENOUGH, Look, look
from linkage.design.names import PATIENCE, Kinds, gather
from linkage.design.pedals import read_pedal
from linkage.design.reading import Node, Reading, shown
from linkage.design.records import Design, Driver, Footwell, Pedal
from linkage.design.rule_records import Rules
from linkage.design.rules import read_rules
from linkage.design.texts import LARGEST, refused, text_of
from linkage.design.vehicle import read_vehicle
from linkage.faults import DesignError, Fault
from linkage.units import find_unit

#: The newest form of the file that this program reads.
FORMAT = 1


def read_file(path: str | Path, kinds: Kinds) -> Design:
    """Read a design file.

    Parameters
    ----------
    path : str or Path
    kinds : mapping
        The register of parts: ``linkage.parts.KINDS``.

    Raises
    ------
    DesignError
        With every fault of the file.
    """
    return read_text(text_of(Path(path)), str(path), kinds)


def read_text(text: str, file: str, kinds: Kinds) -> Design:
    """Read the text of a design file.

    Parameters
    ----------
    text : str
        A byte-order mark in front means nothing, and stays in the text of the design,
        as line ends do.
    file : str
        The name for messages.
    kinds : mapping
        The register of parts.

    Raises
    ------
    DesignError
        With every fault of the text, in file order.
    """
    if len(text.encode("utf-8", "replace")) > LARGEST:
        raise refused(Path(file), "is larger than 1 MB.", "No design file is.")
    seen = look(text)
    if _is_no_design(seen):
        wrong, right = "this is no design file.", "Name a design file (TOML)."
        raise refused(Path(file), wrong, right)
    told = [
        Fault(
            file=file, line=slip.line, key=slip.key, wrong=slip.wrong, right=slip.right
        )
        for slip in seen.told
    ]
    doc, refusal = _parse(seen, file)
    if refusal is not None:
        raise DesignError(_in_order([*told, refusal]))
    reading = Reading(file, text, seen.spots, gather(doc, kinds))
    design = _design(reading, Node(doc, (), ""), kinds)
    faults = _of_known_unit(reading, [*told, *reading.all_faults()])
    if astray := _wrong_unit(reading, faults):
        faults.insert(0, astray)
    if faults or design is None:
        raise DesignError(_in_order(faults))
    return design


#: So many slips are no slips where not one heading or key of a design is among them.
STRANGE = 20


def _is_no_design(seen: Look) -> bool:
    """Return True for many lines that make no sense and none that names a pedal."""
    return len(seen.told) > STRANGE and not any(at[0] in TOP for at in seen.spots if at)


#: How a number that is right in another unit is spoken of.
_ASTRAY = re.compile(r"is too (?:great|small) for|, because this file is in inches")


def _wrong_unit(reading: Reading, faults: list[Fault]) -> Fault | None:
    """Return the fault of a whole file in inches whose numbers are millimetres."""
    count = sum(bool(_ASTRAY.search(fault.wrong)) for fault in faults)
    if reading.units != "in" or count < 3:
        return None
    return Fault(
        file=reading.file,
        line=reading.line(("units",)),
        key="units",
        wrong=f"{count} numbers of this file make no sense in inches.",
        right='Are these mm? Write units = "mm".',
    )


def _in_order(faults: list[Fault]) -> list[Fault]:
    ordered = sorted(dict.fromkeys(faults), key=lambda fault: fault.line)
    rest = len(ordered) - ENOUGH
    if rest <= 0:
        return ordered
    more = Fault(
        file=ordered[0].file,
        wrong=f"and {rest} more faults like these.",
        right="Mend these first.",
    )
    return [*ordered[:ENOUGH], more]


_PLACE = re.compile(r"\s*\(at (?:line (\d+), column \d+|end of document)\)")


def _parse(seen: Look, file: str) -> tuple[dict[str, Any], Fault | None]:
    """Parse what the look at the lines found good."""
    try:
        return tomllib.loads(seen.toml, parse_float=Decimal), None
    except (ValueError, RecursionError) as error:
        message = str(error)
    place = _PLACE.search(message)
    line = int(place[1]) if place and place[1] else 0
    reason = _PLACE.sub("", message)
    return {}, Fault(
        file=file,
        line=line,
        wrong=f"this line cannot be read as TOML: {reason[:80].lower()}.",
        right="Compare it with a file that footwell new writes.",
    )


def _design(reading: Reading, top: Node, kinds: Kinds) -> Design | None:
    """Read a whole document; None where something in it cannot be used."""
    doc = top.raw
    _check_format(reading, doc)
    check_keys(reading, top, TOP, kinds)
    _read_units(reading, doc)
    scatter = _word(reading, doc, "scatter", ("even", "normal"))
    title = reading.plain_text(_under(doc, "title")) if "title" in doc else ""
    shared = read_shared(reading, _under(doc, "point"), kinds) if "point" in doc else {}
    footwell = Footwell()
    if "footwell" in doc:
        footwell = read_footwell(reading, _under(doc, "footwell"), kinds)
    driver = Driver()
    if "driver" in doc:
        driver = read_driver(reading, _under(doc, "driver"), kinds)
    vehicle = None
    if "vehicle" in doc:
        vehicle = read_vehicle(reading, _under(doc, "vehicle"), kinds)
    circuits = {}
    if "circuit" in doc:
        circuits = read_circuits(reading, _under(doc, "circuit"), kinds)
    rules = Rules()
    if "rules" in doc:
        rules = read_rules(reading, _under(doc, "rules"), kinds)
    pedals = _pedals(reading, doc, kinds)
    check_circles(reading, pedals, shared)
    if not reading.all_faults():
        check_circuits(reading, pedals, circuits)
    if reading.all_faults():
        return None
    return Design(
        file=reading.file,
        text=reading.text,
        title=title or "",
        units=reading.units,
        scatter="normal" if scatter == "normal" else "even",
        pedals=pedals,
        points=shared,
        footwell=footwell,
        driver=driver,
        vehicle=vehicle,
        circuits=circuits,
        rules=rules,
        values=dict(sorted(reading.values.items(), key=lambda item: item[1].span)),
        choices=dict(sorted(reading.choices.items(), key=lambda item: item[1].span)),
        guesses=tuple(value for value in reading.values.values() if value.guess),
        cautions=tuple(reading.cautions),
    )


def _under(doc: dict[str, Any], key: str) -> Node:
    return Node(doc[key], (key,), key)


def _word(
    reading: Reading, doc: dict[str, Any], key: str, words: tuple[str, ...]
) -> str | None:
    return reading.word(_under(doc, key), words) if key in doc else None


def _read_units(reading: Reading, doc: dict[str, Any]) -> None:
    """Read the unit of a bare length; one that is spelt otherwise is a fault, and meant."""
    given = doc.get("units")
    unit = find_unit(given) if isinstance(given, str) else None
    name = unit.name if unit else ""
    if name in ("mm", "in") and name != given:
        at = ("units",)
        reading.fault(
            at, f"{shown(given)} is none of its words.", f'Nearest: "{name}".'
        )
    elif "units" in doc:
        _word(reading, doc, "units", ("mm", "in"))
    reading.units = "in" if name == "in" else "mm"


def _of_known_unit(reading: Reading, faults: list[Fault]) -> list[Fault]:
    """Return faults without those that only rest on a unit which cannot be read."""
    units = any(fault.key == "units" for fault in faults)
    known = not units or reading.units == "in"
    return [
        each
        for each in faults
        if known or ", because this file is in" not in each.wrong
    ]


def _check_format(reading: Reading, doc: dict[str, Any]) -> None:
    if "format" not in doc or _under(doc, "format").broken:
        return
    given = doc["format"]
    if isinstance(given, bool) or not isinstance(given, int) or given < 1:
        wrong = f"{shown(given)} is no format."
        reading.fault(("format",), wrong, f"Write format = {FORMAT}.")
    elif given > FORMAT:
        wrong = (
            f"this file is of format {shown(given)}, and this program reads {FORMAT}."
        )
        reading.fault(("format",), wrong, "A newer footwell reads it.")


def _pedals(reading: Reading, doc: dict[str, Any], kinds: Kinds) -> dict[str, Pedal]:
    """Read every pedal of the file."""
    if "pedal" not in doc:
        reading.fault(
            (), "there is no pedal in this file.", "Start one: [pedal.brake]."
        )
        return {}
    table = reading.table(_under(doc, "pedal"), "[pedal.brake]")
    if table is None:
        return {}
    if not table.raw:
        reading.fault(table.at, "there is no pedal here.", "Write [pedal.brake].")
    if stray := [
        key
        for key, raw in table.raw.items()
        if key in PEDAL and not isinstance(raw, dict)
    ]:
        _nameless(reading, table, stray)
    pedals = {}
    for node in table.children():
        if node.at[-1] in stray:
            continue
        node = node._replace(path=str(node.at[-1]))
        if _is_misspelt(reading, node, table.raw):
            continue
        if reading.table(node, f"[pedal.{str(node.at[-1])[:40]}]") is None:
            continue
        pedal = read_pedal(reading, node, kinds)
        if pedal is not None:
            pedals[pedal.name] = pedal
    return pedals


def _nameless(reading: Reading, table: Node, stray: list[str]) -> None:
    """Say once that keys of a pedal stand under a heading without its name."""
    at = (*table.at, stray[0])
    wrong = f"{' and '.join(stray[:3])} belong to one pedal, and this names none."
    if len(stray) == 1:
        wrong = f"{stray[0]} belongs to one pedal, and this names none."
    several = isinstance(table.raw[stray[0]], list) and stray[0] in ("train", "target")
    right = f"[[pedal.brake.{stray[0]}]]" if several else "[pedal.brake] above its keys"
    reading.misplaced.add(table.at)
    reading.fault(at, wrong, f"Write {right}, say.")


#: Headings below a pedal that are often written with its name again.
_BELOW = {"train", "target", "arm"}


def _is_misspelt(reading: Reading, node: Node, pedals: dict[str, Any]) -> bool:
    """Say so where a pedal stands in headings below it alone, beside a near name."""
    if not isinstance(node.raw, dict) or not node.raw or not set(node.raw) <= _BELOW:
        return False
    whole = [
        name
        for name, raw in pedals.items()
        if isinstance(raw, dict) and not set(raw) <= _BELOW
    ]
    near = difflib.get_close_matches(str(node.at[-1])[:60], whole[:PATIENCE], n=1)
    if near:
        wrong = f"there is no pedal {shown(str(node.at[-1]))} in this file."
        reading.fault(node.at, wrong, f"Nearest: {near[0]}.")
    return bool(near)
