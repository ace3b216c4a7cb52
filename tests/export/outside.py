"""What other people's readers make of a DXF file: the same figures, three ways.

GDAL (through pyogrio) turns arcs into facets and is strict on broken files; trimesh
keeps arcs as three points; ezdxf audits the structure. All are general libraries.
"""

import io
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pyogrio
import pyogrio.raw
import shapely
import trimesh
from ezdxf import recover
from numpy.typing import NDArray


@dataclass(frozen=True, kw_only=True, slots=True)
class Measured:
    """Outline less holes, in units of the file; box as x, z, x, z."""

    area: float
    box: tuple[float, float, float, float]
    loops: int
    arcs: int
    unit: str


def audit_faults(data: bytes) -> list[str]:
    """Everything ezdxf's auditor finds wrong or had to mend."""
    _, auditor = recover.read(io.BytesIO(data))
    return [str(entry.message) for entry in (*auditor.errors, *auditor.fixes)]


def by_gdal(path: Path) -> Measured:
    """Area and box from facets of 0.1 degree on layer ``cut``."""
    pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": "0.1"})
    meta, _, shapes, fields = pyogrio.raw.read(path)
    layer = fields[list(meta["fields"]).index("Layer")]
    lines = [
        s
        for s, name in zip(shapely.from_wkb(shapes), layer, strict=True)
        if name == "cut"
    ]
    if any(not line.is_closed for line in lines):
        lines = [
            shapely.transform(line, lambda rows: np.round(rows, 9)) for line in lines
        ]
        lines = list(shapely.get_parts(shapely.line_merge(shapely.union_all(lines))))
    loops = sorted((shapely.Polygon(line) for line in lines), key=lambda p: -p.area)
    area = loops[0].area - sum(loop.area for loop in loops[1:])
    return Measured(area=area, box=loops[0].bounds, loops=len(loops), arcs=0, unit="")


def by_trimesh(path: Path) -> Measured:
    """Area and box from its own lines and three-point arcs."""
    drawing = trimesh.load(path)
    loops = [_loop(drawing, rows) for rows in drawing.paths]  # closed ones only
    loops.sort(key=lambda loop: -abs(loop[0]))
    area = abs(loops[0][0]) - sum(abs(loop[0]) for loop in loops[1:])
    reach = loops[0][1]
    low, high = reach.min(axis=0), reach.max(axis=0)
    arcs = sum(type(entity).__name__ == "Arc" for entity in drawing.entities)
    box = (float(low[0]), float(low[1]), float(high[0]), float(high[1]))
    return Measured(
        area=area, box=box, loops=len(loops), arcs=arcs, unit=str(drawing.units)
    )


def _loop(
    drawing: trimesh.path.Path2D, rows: NDArray[np.intp]
) -> tuple[float, NDArray[np.float64]]:
    """Signed area of one loop by Green's formula, and points that span its box."""
    spans = [drawing.vertices[drawing.entities[row].points] for row in rows]
    if len(spans) == 1 and drawing.entities[rows[0]].closed:
        middle, radius = _circle(spans[0])
        sides = np.array([[1, 0], [-1, 0], [0, 1], [0, -1]])
        return float(np.pi * radius**2), middle + radius * sides
    area = 0.0
    reach: list[NDArray[np.float64]] = []
    if not np.array_equal(spans[0][-1], spans[1][0]) and not np.array_equal(
        spans[0][-1], spans[1][-1]
    ):
        spans[0] = spans[0][::-1]
    at = spans[0][0]
    for span in spans:
        run = span if np.array_equal(span[0], at) else span[::-1]
        at = run[-1]
        reach.append(run)
        area += 0.5 * float(run[0, 0] * run[-1, 1] - run[0, 1] * run[-1, 0])
        if len(run) == 3:
            piece, crests = _segment(run)
            area += piece
            reach.append(crests)
    return area, np.vstack(reach)


def _circle(points: NDArray[np.float64]) -> tuple[NDArray[np.float64], float]:
    """Circle through three points, from the two chords' midperpendiculars."""
    a, b, c = points
    rows = 2.0 * np.array([b - a, c - a])
    middle = np.linalg.solve(rows, [b @ b - a @ a, c @ c - a @ a])
    return middle, float(np.linalg.norm(a - middle))


def _segment(run: NDArray[np.float64]) -> tuple[float, NDArray[np.float64]]:
    """Signed area between arc and chord, and the arc's crests."""
    middle, radius = _circle(run)
    angle = np.arctan2(*(run - middle).T[::-1])
    sweep = np.mod(angle[2] - angle[0], 2.0 * np.pi)
    ccw = np.mod(angle[1] - angle[0], 2.0 * np.pi) < sweep
    sweep = sweep if ccw else sweep - 2.0 * np.pi
    quarter = np.arange(4) * np.pi / 2.0
    ahead = np.mod(np.sign(sweep) * (quarter - angle[0]), 2.0 * np.pi)
    turn = quarter[ahead < abs(sweep)]
    crests = middle + radius * np.column_stack([np.cos(turn), np.sin(turn)])
    return float(0.5 * radius**2 * (sweep - np.sin(sweep))), crests
