"""The columns of a sweep's table as people read them, at whatever places it has."""

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from linkage.design.records import Design
from linkage.sweeping import Sweep
from linkage.words.links import (
    column_of,
    cylinder_of,
    ends_of,
    link_pushes,
    tip_way,
)
from linkage.words.speech import Speech, fixed, lean, off_square
from solvers.jet import value


class Cells(Struct, frozen=True, kw_only=True, eq=False):
    """One column of the table.

    Attributes
    ----------
    head : tuple of str
        Over some lines.
    texts : list of str
        One at each place.
    column : str
        The column of the sweep that it tells, "" for one of its own.
    """

    head: tuple[str, ...]
    texts: list[str]
    column: str = ""


def table_cells(design: Design, shown: Sweep, speech: Speech) -> list[Cells]:
    """Return the columns of the table, its notes left out."""
    return [*_cells(shown, speech), *_back_cells(design, shown, speech)]


def _cells(shown: Sweep, speech: Speech) -> list[Cells]:
    travel = np.asarray(shown["travel"])
    radius = float(value(shown.rest.radius))
    chord = 2.0 * radius * np.sin(np.minimum(travel / (2.0 * radius), 0.5 * np.pi))
    cells = [
        _length(shown, "travel", ("pad", "moves"), speech),
        Cells(head=("straight", "by tape"), texts=_taped(chord, speech)),
    ]
    if not shown.rest.pedal.train:
        return cells
    if "ratio" in shown.columns:
        texts = fixed(shown["ratio"], 2)
        cells.append(Cells(head=("ratio",), texts=texts, column="ratio"))
    cells += _end_cells(shown, speech)
    if "crank_angle" in shown.columns:
        cells.append(_crank(shown))
    return cells


def _taped(
    mm: NDArray[np.float64], speech: Speech, digits: int | None = None
) -> list[str]:
    """Return lengths that a tape is laid on: inches are fractions."""
    if speech.units == "mm":
        return speech.lengths(mm, digits)
    return [speech.ruled(size) for size in mm.tolist()]


def _length(shown: Sweep, column: str, head: tuple[str, ...], speech: Speech) -> Cells:
    return Cells(head=head, texts=speech.lengths(shown[column]), column=column)


def _crank(shown: Sweep) -> Cells:
    what = "cable" if shown.rest.pedal.train[-1].KIND != "cylinder" else "rod"
    if "lever_rate" in shown.columns:
        what = "rod"
    pushes = link_pushes(shown.rest, len(shown.rest.parts) - 1)
    return Cells(
        head=(f"{what} to", "its arm"),
        texts=[off_square(x, pushes=pushes) for x in shown["crank_angle"].tolist()],
        column="crank_angle",
    )


def _end_cells(shown: Sweep, speech: Speech) -> list[Cells]:
    cells = [
        cell
        for branch, index in ends_of(shown.rest)
        for cell in _piston(shown, branch, index, speech)
    ]
    if "cable_pull" in shown.columns:
        cells.append(_length(shown, "cable_pull", ("cable", "drawn"), speech))
    for name, series in shown.columns.items():
        if name.endswith("_turn"):
            head = name.removesuffix("_turn").replace("_", " ")
            texts = fixed(series.values, 1)
            cells.append(Cells(head=(head, "turns"), texts=texts, column=name))
    if "lever_rate" in shown.columns:
        texts = fixed(10.0 * shown["lever_rate"], 2)
        per = ("deg a", "10 of pad")
        cells.append(Cells(head=per, texts=texts, column="lever_rate"))
    return cells


def _piston(shown: Sweep, branch: str, index: int, speech: Speech) -> list[Cells]:
    stroke, angle = column_of(branch, "stroke"), column_of(branch, "rod_angle")
    name = (branch or "piston", "moves")
    cells = [_length(shown, stroke, name, speech)]
    full = cylinder_of(shown, index).stroke
    if full is not None and not branch:  # of two there is no room: a sentence says it
        left = float(value(shown.rest.places.number(full))) - shown[stroke]
        cells.append(Cells(head=("piston", "left"), texts=_left(left, speech)))
    tip = tip_way(shown.rest, index)
    texts = [lean(x, tip) for x in shown[angle].tolist()]
    cells.append(
        Cells(head=(f"{branch} rod".strip(), "leans"), texts=texts, column=angle)
    )
    return cells


def _left(left: NDArray[np.float64], speech: Speech) -> list[str]:
    """Return what is left of a stroke; "none" once it is used up."""
    texts = speech.lengths(left)
    return [
        text if x > -1e-9 else "none"
        for text, x in zip(texts, left.tolist(), strict=True)
    ]


def _back_cells(design: Design, shown: Sweep, speech: Speech) -> list[Cells]:
    """Return how far the pad is back from the builder's own mark, where he has one."""
    if not design.footwell.marks.back:
        return []
    pad = np.asarray(value(shown.run.at(f"{shown.pedal}.pad")))
    sizes = _taped(np.abs(pad.real), speech, 0)
    texts = [
        f"{size} ahead" if x > 0.0 else size
        for size, x in zip(sizes, pad.real.tolist(), strict=True)
    ]
    return [Cells(head=("pad", "is back"), texts=texts)]
