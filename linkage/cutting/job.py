"""From a plan to the bytes that go to the cutting shop, checked, with their figures.

The part is laid flat: pivot to pad level, pad to the right, lower left corner at the
origin. Nothing is written to disk here.
"""

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from export.dxf import CutDrawing, Form, Unit, dxf_bytes
from linkage.arm.outline import ArmShape, shape_arm
from linkage.arm.plan import ArmPlan
from linkage.cutting.bores import CROSS, BorePlan, plan_bores
from linkage.cutting.check import Verdict, check_cut
from linkage.cutting.fit_rules import distance
from linkage.cutting.meant import Meant
from linkage.design.metals import density
from solvers.plane.measure import area, extents, perimeter
from solvers.plane.pieces import Contour, moved, pieces_of

#: kg/m3 times mm3 to kg.
_MM3 = 1e-9


class Figures(Struct, frozen=True, kw_only=True):
    """What a shop and a bench want to know of a part; lengths in mm.

    Attributes
    ----------
    size : complex
        Over all, along the arm and across it.
    straights, arcs : int
        Pieces of the outline; an arc split in two counts once.
    cut_length : float
        Of everything that is cut.
    pierces : int
        Starts of a cut: the outline and each hole.
    between, around : float or None
        Least metal between two finished holes (None: one hole), and round one.
    area : float
        Of the plate that is left as cut, mm2.
    mass : float
        As cut, kg.
    reaches : dict of str to float
        From the pivot's centre to each other hole's.
    """

    size: complex
    straights: int
    arcs: int
    cut_length: float
    pierces: int
    between: float | None
    around: float
    area: float
    mass: float
    reaches: dict[str, float]


class CutJob(Struct, frozen=True, kw_only=True, eq=False):
    """A cut file and everything said about it.

    Attributes
    ----------
    plan : ArmPlan
    form, unit : str
        Of the file.
    data : bytes
        The file.
    contour : ndarray, shape (n, 3)
        The outline laid flat, mm.
    centres : dict of str to complex
        Holes laid flat, the pivot first.
    bores : tuple of BorePlan
        Same order.
    verdicts : tuple of Verdict
    figures : Figures
    """

    plan: ArmPlan
    form: Form
    unit: Unit
    data: bytes
    contour: Contour
    centres: dict[str, complex]
    bores: tuple[BorePlan, ...]
    verdicts: tuple[Verdict, ...]
    figures: Figures

    @property
    def ok(self) -> bool:
        """Whether every rule of the cut check holds."""
        return all(verdict.ok for verdict in self.verdicts)


def cut_arm(
    plan: ArmPlan,
    *,
    form: Form = "r12",
    units: Unit = "mm",
    stem: str = "arm",
    mark: str = "",
) -> CutJob:
    """Shape an arm, write its cut file and check the written bytes.

    Parameters
    ----------
    plan : ArmPlan
    form : {"r12", "r2010", "pieces"}
    units : {"mm", "in"}
        Of the file; everything else is mm.
    stem : str
        File name without ending, for the comment in the file.
    mark : str
        The design's name and fingerprint, for the same comment.

    Raises
    ------
    DesignError
        The plan makes no sense or has no outline.
    """
    shape, bores = shape_arm(plan), plan_bores(plan)
    contour, centres = _laid_flat(shape)
    low, high = extents(contour)
    circles, crosses = _holes(centres, bores)
    drawing = CutDrawing(
        contours=[contour],
        circles=circles,
        crosses=np.insert(crosses, 2, CROSS, axis=1),
        box=(low.real, low.imag, high.real, high.imag),
        note=f"{stem}.dxf: {plan.title}, {stock(plan)}, {units}. {mark}",
    )
    data = dxf_bytes(drawing, form=form, unit=units)
    finished = _rows(centres, bores, [bore.bore for bore in bores])
    meant = Meant(
        form=form,
        unit=units,
        process=plan.process,
        plate=plan.plate,
        size=high - low,
        circles=circles,
        bores=finished,
        crosses=crosses,
        speaks=plan.speaks,
    )
    return CutJob(
        plan=plan,
        form=form,
        unit=units,
        data=data,
        contour=contour,
        centres=centres,
        bores=bores,
        verdicts=check_cut(data, meant),
        figures=_figures(plan, contour, centres, circles, finished),
    )


def stock(plan: ArmPlan) -> str:
    """What it is cut from and how, in words."""
    return f"{plan.plate:g} mm {plan.material}, {plan.process}"


def _laid_flat(shape: ArmShape) -> tuple[Contour, dict[str, complex]]:
    """Outline and holes with the pad to the right of the pivot, from the origin up."""
    pivot = shape.centres["pivot"]
    along = shape.end - pivot
    turn = abs(along) / along
    flat = moved(shape.contour, turn=turn, shift=-pivot * turn)
    low, _ = extents(flat)
    centres = {name: (at - pivot) * turn - low for name, at in shape.centres.items()}
    return moved(flat, shift=-low), centres


def _holes(
    centres: dict[str, complex], bores: tuple[BorePlan, ...]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Circles that are cut (x, z, radius), and centres that are marked (x, z)."""
    rows = _rows(centres, bores, [bore.cut or 0.0 for bore in bores])
    marked = np.array([bore.cut is None for bore in bores])
    return rows[~marked], rows[marked, :2]


def _rows(
    centres: dict[str, complex], bores: tuple[BorePlan, ...], sizes: list[float]
) -> NDArray[np.float64]:
    at = np.array([centres[bore.name] for bore in bores])
    return np.column_stack([at.real, at.imag, 0.5 * np.array(sizes)])


def _figures(
    plan: ArmPlan,
    contour: Contour,
    centres: dict[str, complex],
    circles: NDArray[np.float64],
    finished: NDArray[np.float64],
) -> Figures:
    low, high = extents(contour)
    left = area(contour) - np.pi * float(np.sum(circles[:, 2] ** 2))
    rims = 2.0 * np.pi * float(np.sum(circles[:, 2]))
    straights, arcs = _pieces(contour)
    pivot = centres["pivot"]
    return Figures(
        size=high - low,
        straights=straights,
        arcs=arcs,
        cut_length=perimeter(contour) + rims,
        pierces=1 + len(circles),
        between=_between(finished),
        around=min(distance(contour, complex(x, z)) - r for x, z, r in finished),
        area=left,
        mass=left * plan.plate * density(plan.material) * _MM3,
        reaches={name: abs(at - pivot) for name, at in centres.items() if at != pivot},
    )


def _pieces(contour: Contour) -> tuple[int, int]:
    """Straight lines and true arcs; arcs that go on about one centre count once."""
    pieces = pieces_of(contour)
    split = np.abs(pieces.centre - np.roll(pieces.centre, 1)) < 1e-6
    straights = int(np.count_nonzero(pieces.straight))
    return straights, len(pieces) - straights - int(np.count_nonzero(split))


def _between(finished: NDArray[np.float64]) -> float | None:
    i, j = np.triu_indices(len(finished), 1)
    if len(i) == 0:
        return None
    at = finished[:, 0] + 1j * finished[:, 1]
    return float(np.min(np.abs(at[i] - at[j]) - finished[i, 2] - finished[j, 2]))
