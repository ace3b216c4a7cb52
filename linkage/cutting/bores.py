"""Hole by hole: cut to size, cut small and finish, pilot, or mark only.

The rule of the trade: the table cuts what needs no precision; a pin, bush or bolt hole
is finished by drill, reamer or boring bar.
"""

import math
from collections.abc import Iterator

from msgspec import Struct

from linkage.arm.plan import ArmPlan, arm_fault
from linkage.arm.processes import PROCESSES, Process, Way, deviation
from linkage.faults import DesignError, Fault

#: Left for the reamer beyond the cut's own deviation, mm on the diameter. With it,
#: laser bores come out 0.3 to 0.5 under, which is common practice (no source).
REAMING = 0.1
#: Plasma's taper needs more to clean up, mm on the diameter (common practice, no
#: source).
BORING = 0.5
#: A pilot's part of the finished bore (common practice, no source).
PILOT = 0.7
#: Cut sizes are rounded down to this, mm.
STEP = 0.05
#: Half the stroke of a centre mark, mm (trade guide: a small cross of 3 mm lines).
CROSS = 1.5


class BorePlan(Struct, frozen=True, kw_only=True):
    """What is done about one hole.

    Attributes
    ----------
    name : str
    bore : float
        Finished diameter, mm.
    way : Way
    cut : float or None
        Diameter in the cut file, mm; None where the centre is only marked.
    holds : float or None
        What the process holds on this size, plus and minus mm; None: not known.
    least : float
        The smallest hole that the process cuts well in this plate, mm.
    """

    name: str
    bore: float
    way: Way
    cut: float | None
    holds: float | None
    least: float


def plan_bores(plan: ArmPlan) -> tuple[BorePlan, ...]:
    """Plan every hole of an arm, the pivot first.

    Raises
    ------
    DesignError
        A way was asked for that the process cannot cut.
    """
    process = PROCESSES[plan.process]
    planned = [
        plan_bore(
            name,
            plan.bore(name),
            plate=plan.plate,
            process=process,
            loose=name in plan.loose,
            way=plan.ways.get(name),
        )
        for name in plan.centres
    ]
    faults = [*_faults(plan, planned, process)]
    if faults:
        raise DesignError(faults)
    return tuple(planned)


def plan_bore(
    name: str,
    bore: float,
    *,
    plate: float,
    process: Process,
    loose: bool = False,
    way: Way | None = None,
) -> BorePlan:
    """Choose how one hole is cut.

    Parameters
    ----------
    name : str
    bore : float
        Finished diameter, mm.
    plate : float
        Thickness, mm.
    process : Process
    loose : bool
        The hole needs no fit and is used as cut.
    way : Way, optional
        Asked for, in place of the usual way.
    """
    holds = deviation(plate, bore, process.iso_class)
    chosen = way or _usual_way(bore, plate, process, loose=loose, holds=holds)
    cut = _cut_size(bore, chosen, process, holds)
    return BorePlan(
        name=name,
        bore=bore,
        way=chosen,
        cut=cut,
        holds=holds,
        least=process.hole * plate,
    )


def _usual_way(
    bore: float, plate: float, process: Process, *, loose: bool, holds: float | None
) -> Way:
    least = process.hole * plate
    if loose:
        return "finished" if bore >= least else "mark"
    if process.iso_class > 1:
        return "mark"
    for way in ("undersize", "pilot") if holds is not None else ("pilot",):
        cut = _cut_size(bore, way, process, holds)
        if cut is not None and cut >= least:
            return "undersize" if way == "undersize" else "pilot"
    return "mark"


def _cut_size(
    bore: float, way: Way | str, process: Process, holds: float | None
) -> float | None:
    if way == "mark":
        return None
    if way == "finished":
        return bore
    if way == "pilot":
        return _stepped(PILOT * bore)
    stock = REAMING if process.iso_class == 1 else BORING
    return _stepped(bore - stock - (holds or 0.0))


def _stepped(size: float) -> float:
    return round(STEP * math.floor(size / STEP + 1e-9), 6)


def _faults(
    plan: ArmPlan, planned: list[BorePlan], process: Process
) -> Iterator[Fault]:
    thin, thick = process.plates
    if not thin <= plan.plate <= thick:
        yield arm_fault(
            "arm.plate",
            f"is {plan.plate:g} mm: {process.name} cuts {thin:g} to {thick:g} mm",
            "choose another plate or process",
        )
    for one in planned:
        if one.cut is not None and one.cut < one.least:
            yield arm_fault(
                f"arm.ways.{one.name}",
                f"asks for a hole of {one.cut:.2f} mm cut by {process.name} in "
                f"{plan.plate:g} mm plate, which wants {one.least:g} or more",
                'give "mark", or a larger bore',
            )
