"""A sweep for people: ten-odd rows and a few sentences."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from linkage.design.records import Design
from linkage.motion.ends import End, find_ends, find_limit
from linkage.motion.rest import PedalRest
from linkage.motion.run import move
from linkage.parts.cylinder import Cylinder, CylinderRest
from linkage.parts.lever import LeverRest
from linkage.sweeping import Sweep, sweep
from linkage.words.speech import Speech, lean, off_square, sentence, table
from solvers.jet import value
from solvers.root import first_zero

ROWS = 8
FINE = 601

Array = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True, slots=True)
class Cell:
    """One column of the table: its head over lines, and its text at row i."""

    head: tuple[str, ...]
    text: Callable[[int], str]


def sweep_text(design: Design, pedal: str) -> str:
    """Return the table and the sentences for one pedal.

    Raises
    ------
    DesignError
        As `linkage.sweeping.sweep`.
    """
    speech = Speech(design.units)
    fine = sweep(design, pedal, positions=FINE)
    whole = float(value(fine.rest.travel))
    shown = sweep(design, pedal, at=_rows(fine, whole, speech))
    lines = [_title(design, fine, speech), ""]
    if len(shown["travel"]):
        cells = _cells(shown, speech)
        notes = _notes(shown, whole)
        body = [
            [cell.text(i) for cell in cells] + [notes[i]]
            for i in range(len(shown["travel"]))
        ]
        lines += table(body, [cell.head for cell in cells] + [("",)])
        lines.append("")
    for name, text in _sentences(fine, whole, speech):
        lines += sentence(name, text)
    return "\n".join(lines) + "\n"


def _title(design: Design, swept: Sweep, speech: Speech) -> str:
    title = f"{design.title}: {swept.pedal}" if design.title else swept.pedal
    said = [title]
    if "stroke" in swept.columns:
        said.append(f"Rod {speech.length(_rod(swept))} hole to end")
    if swept.rest.pedal.train:
        said.append(f"Lengths in {speech.units}, angles in deg")
    return ". ".join(said)


def _cylinder(swept: Sweep) -> Cylinder:
    """Return the cylinder that ends the train (there is a stroke column)."""
    part = swept.rest.pedal.train[-1]
    if not isinstance(part, Cylinder):
        raise TypeError("no cylinder ends this train")
    return part


def _cylinder_rest(rest: PedalRest) -> CylinderRest:
    part = rest.parts[-1]
    if not isinstance(part, CylinderRest):
        raise TypeError("no cylinder ends this train")
    return part


def _rod(swept: Sweep) -> float:
    return float(np.ravel(value(_cylinder_rest(swept.rest).rod))[0])


def _rows(swept: Sweep, whole: float, speech: Speech) -> list[float]:
    """Return round places, with those where something happens."""
    upto = whole if swept.limit is None else swept.limit.travel
    step = speech.step(whole, ROWS)
    at = {0.0, whole}
    at |= set(np.arange(step, whole - 0.4 * step, step).tolist())
    events = [end.travel for end in swept.ends] + _gap(swept)
    at = {x for x in at if all(abs(x - e) > 0.02 * whole for e in events)} | {
        0.0,
        whole,
    }
    return sorted(x for x in at | set(events) if x < upto or swept.limit is None)


def _gap(swept: Sweep) -> list[float]:
    """Return where the rod's free play is closed."""
    if "stroke" not in swept.columns:
        return []
    closed = swept["travel"][swept["stroke"] == 0.0]
    play = float(value(swept.rest.places.number(_cylinder(swept).free_play)))
    if play <= 0.0 or len(closed) in (0, len(swept["travel"])):
        return []
    found = first_zero(
        lambda x: play - np.asarray(move(swept.rest, x).last.end().v),
        0.0,
        float(swept["travel"][-1]),
    )
    return [] if found is None else [found]


def _notes(shown: Sweep, whole: float) -> list[str]:
    travel = shown["travel"]
    notes = [""] * len(travel)
    for i, x in enumerate(travel):
        said = []
        if x == 0.0:
            said.append("rest")
        if abs(x - whole) < 1e-9 * max(whole, 1.0):
            said.append("full")
        said += [_short(end) for end in shown.ends if abs(end.travel - x) < 1e-7]
        notes[i] = ", ".join(said)
    for x in _gap(shown):
        i = int(np.argmin(np.abs(travel - x)))
        notes[i] = ", ".join([*([notes[i]] if notes[i] else []), "gap closed"])
    return notes


def _short(end: End) -> str:
    return {"cable slack taken up": "slack taken up"}.get(end.what, end.what)


def _cells(shown: Sweep, speech: Speech) -> list[Cell]:
    pad = np.asarray(shown["travel"])
    radius = float(value(shown.rest.radius))
    chord = 2.0 * radius * np.sin(np.minimum(pad / (2.0 * radius), 0.5 * np.pi))
    cells = [
        Cell(head=("pad", "moves"), text=lambda i: speech.length(pad[i])),
        Cell(head=("straight", "by tape"), text=lambda i: speech.length(chord[i])),
    ]
    if not shown.rest.pedal.train:
        return cells
    if "ratio" in shown.columns:
        ratio = shown["ratio"]
        cells.append(Cell(head=("ratio",), text=lambda i: _plain(ratio[i], 2)))
    cells += _end_cells(shown, speech)
    if "crank_angle" in shown.columns:
        crank = shown["crank_angle"]
        what = "cable" if shown.rest.pedal.train[-1].KIND != "cylinder" else "rod"
        if "lever_rate" in shown.columns:
            what = "rod"
        pushes = link_pushes(shown.rest, len(shown.rest.parts) - 1)
        cells.append(
            Cell(
                head=(f"{what} to", "its arm"),
                text=lambda i: off_square(crank[i], pushes=pushes),
            )
        )
    return cells


def _end_cells(shown: Sweep, speech: Speech) -> list[Cell]:
    cells = []
    if "stroke" in shown.columns:
        stroke, angle = shown["stroke"], shown["rod_angle"]
        cells.append(
            Cell(head=("piston", "moves"), text=lambda i: speech.length(stroke[i]))
        )
        full = _cylinder(shown).stroke
        if full is not None:
            has = float(value(shown.rest.places.number(full)))
            cells.append(
                Cell(
                    head=("piston", "left"),
                    text=lambda i: speech.length(has - stroke[i]),
                )
            )
        tip = tip_way(shown.rest)
        cells.append(Cell(head=("rod", "leans"), text=lambda i: lean(angle[i], tip)))
    if "cable_pull" in shown.columns:
        pull = shown["cable_pull"]
        cells.append(
            Cell(head=("cable", "drawn"), text=lambda i: speech.length(pull[i]))
        )
    for name, series in shown.columns.items():
        if name.endswith("_turn"):
            head = name.removesuffix("_turn").replace("_", " ")
            cells.append(
                Cell(
                    head=(head, "turns"),
                    text=lambda i, v=series.values: _plain(v[i], 1),  # type: ignore[misc]
                )
            )
    if "lever_rate" in shown.columns:
        rate = shown["lever_rate"]
        cells.append(
            Cell(head=("deg a", "10 of pad"), text=lambda i: _plain(10.0 * rate[i], 2))
        )
    return cells


def _plain(x: float, digits: int) -> str:
    if np.isnan(x):
        return "-"
    text = f"{x:.{digits}f}"
    return text[1:] if text.startswith("-") and not float(text) else text


def link_pushes(rest: PedalRest, index: int) -> bool:
    """Return True where the link into part ``index`` is pushed at rest."""
    part = rest.parts[index]
    if isinstance(part, CylinderRest):
        far, drive = value(part.seat), part.drive
    elif isinstance(part, LeverRest) and part.run is None:
        far, drive = value(part.pivot) + value(part.arm), part.drive
    else:
        return False
    towards = far - value(drive.hole)
    return bool(np.ravel((drive.velocity() * np.conj(towards)).real)[0] > 0.0)


def tip_way(rest: PedalRest) -> complex:
    """Return the unit vector along a cylinder's axis from the hole to the rod's end."""
    part = _cylinder_rest(rest)
    return complex(np.ravel(value(part.axis))[0]) * part.part.sign


def _sentences(fine: Sweep, whole: float, speech: Speech) -> list[tuple[str, str]]:
    said: list[tuple[str, str]] = []
    if not len(fine["travel"]):
        limit = fine.limit
        return [("Stop", f"It cannot be put together: {limit.why}")] if limit else []
    if "ratio" in fine.columns:
        said += _about_ratio(fine, speech)
    if "rod_angle" in fine.columns:
        said += _about_rod(fine, speech)
    said += _about_ends(fine, whole, speech)
    if fine.limit is not None:
        why = fine.limit.why
        said.append(
            (
                "LIMIT",
                f"{fine.limit.kind} after {speech.length(fine.limit.travel)} of pad "
                f"(of {speech.length(whole)}): {why}.",
            )
        )
    return said


def _about_ratio(fine: Sweep, speech: Speech) -> list[tuple[str, str]]:
    travel, ratio = fine["travel"], fine["ratio"]
    known = ~np.isnan(ratio)
    if not known.any():
        return []
    travel, ratio = travel[known], ratio[known]
    low, high = int(np.argmin(ratio)), int(np.argmax(ratio))
    text = (
        f"lowest {ratio[low]:.2f} at {speech.length(travel[low])} of pad, highest "
        f"{ratio[high]:.2f} at {speech.length(travel[high])}; "
        f"{_percent(ratio[-1] / ratio[0] - 1.0)} from rest to full."
    )
    return [("Ratio", text)]


def _percent(share: float) -> str:
    text = f"{100.0 * share:+.1f} %"
    return "no change" if text in ("+0.0 %", "-0.0 %") else text


def _about_rod(fine: Sweep, speech: Speech) -> list[tuple[str, str]]:
    travel, angle = fine["travel"], fine["rod_angle"]
    worst = int(np.argmax(np.abs(angle)))
    crossings = np.flatnonzero(np.signbit(angle[1:]) != np.signbit(angle[:-1]))
    places = [
        float(np.interp(0.0, *_rising(angle[i : i + 2], travel[i : i + 2])))
        for i in crossings
    ]
    where = " and ".join(speech.length(x) for x in places)
    near = int(np.argmin(np.abs(angle)))
    nearest = f"nearest to the axis at {speech.length(travel[near])} of pad"
    in_line = (
        f"in line at {where} of pad, "
        if places
        else f"{nearest} ({abs(angle[near]):.1f} deg), "
    )
    text = (
        f"{in_line}worst {abs(angle[worst]):.1f} deg at {speech.length(travel[worst])}."
    )
    return [("Rod", text)]


def _rising(x: Array, y: Array) -> tuple[Array, Array]:
    return (x, y) if x[1] > x[0] else (x[::-1], y[::-1])


def _about_ends(fine: Sweep, whole: float, speech: Speech) -> list[tuple[str, str]]:
    said = [
        ("End", f"{end.what} after {speech.length(end.travel)} of pad ({end.part}).")
        for end in fine.ends
    ]
    full = any(end.what == "cylinder full" for end in fine.ends)
    if "stroke" not in fine.columns or full or fine.limit is not None:
        return said
    has = _cylinder(fine).stroke
    if has is not None:
        left = float(value(fine.rest.places.number(has))) - fine["stroke"][-1]
        text = (
            f"{speech.length(left)} of piston is left when the pad is at full "
            f"({speech.length(whole)}).{_beyond(fine, whole, speech)}"
        )
        said.append(("End", text))
    return said


def _beyond(fine: Sweep, whole: float, speech: Speech) -> str:
    """Say where the cylinder would be full, if the pad could go on."""
    limit = find_limit(fine.rest, 2.0 * whole)
    upto = 2.0 * whole if limit is None else limit.travel
    for end in find_ends(fine.rest, upto):
        if end.what == "cylinder full":
            return f" The cylinder would be full at {speech.length(end.travel)}."
    return " The cylinder would never be full."
