"""What an arm's shape is made from, in plain numbers, and whether they make sense.

Points are complex, x forward, z up, mm, with the pedal at rest. A hole's *bore* is its
finished diameter, its *boss* the radius of the metal round its centre.
"""

import math
from collections.abc import Iterator, Mapping
from typing import Literal, TypeAlias

from msgspec import Struct, field

from linkage.arm.processes import PROCESSES, WAYS, Way
from linkage.design.metals import density
from linkage.design.stock import HOLE_BORE, PIVOT_BORE
from linkage.faults import DesignError, Fault
from linkage.units import say

#: Metal round a hole: one diameter of it, that is 1.5 from its centre, the least usual
#: edge distance; this much is enough round a welded tube (common practice, no source);
#: never under what the process wants beside a hole.
TUBE_WALL = 10.0
#: Radius of the rounded end at the pad (common practice, no source).
PAD_END = 12.0
#: Radius of inside corners: at least the plate's thickness and 6 mm (common practice,
#: no source); more spreads the stress further.
FILLET, LEAST_FILLET = 20.0, 6.0


#: A name, and what is taken: a length in mm, or a word.
Guess: TypeAlias = tuple[str, float | str]


class ArmPlan(Struct, frozen=True, kw_only=True, eq=False):
    """One arm, cut from one plate.

    Attributes
    ----------
    pivot, pad : complex
        Centre of the pivot bore; the point of the pad's face that the sole touches.
    holes : mapping of str to complex
        Further holes by name, in any order, on either side of the pivot.
    plate : float
        Thickness, mm.
    process : {"laser", "plasma"}
    material : str
        See `linkage.design.metals.DENSITY`.
    title : str
        What the part is, for the report's first line.
    bores : mapping of str to float
        Finished diameters by hole name and ``"pivot"``; a missing one is guessed.
    bosses : mapping of str to float
        Radii by hole name, ``"pivot"`` and ``"pad"``; a missing one is sized.
    fillet : float, optional
        Radius of inside corners.
    loose : frozenset of str
        Holes that need no fit: they are used as cut.
    ways : mapping of str to Way
        How a hole is to be cut, where the usual way is not wanted.
    pad_stand : float, optional
        From the arm's edge to the pad's face (plate and sole). Given, the arm's end is
        set ahead of the pad point so that the face comes where it was meant; left out,
        the end is round the pad point itself.
    guessed : tuple of (str, float or str)
        What else was not given, and what it is taken to be: ("plate", 8.0).
    press : complex
        The way the pad moves when pressed, roughly; only its side counts.
    speaks : {"mm", "in"}
        The unit in which people hear of its faults.
    """

    pivot: complex
    pad: complex
    holes: Mapping[str, complex]
    plate: float
    process: str = "laser"
    material: str = "steel"
    title: str = "arm"
    bores: Mapping[str, float] = field(default_factory=dict)
    bosses: Mapping[str, float] = field(default_factory=dict)
    fillet: float | None = None
    loose: frozenset[str] = frozenset()
    ways: Mapping[str, Way] = field(default_factory=dict)
    pad_stand: float | None = None
    press: complex = 1.0
    guessed: tuple[Guess, ...] = ()
    speaks: Literal["mm", "in"] = "mm"

    def bore(self, name: str) -> float:
        """Finished diameter of a hole, given or guessed."""
        return self.bores.get(name, PIVOT_BORE if name == "pivot" else HOLE_BORE)

    def boss(self, name: str) -> float:
        """Radius of metal round a hole's centre, or of the end at the pad."""
        if name in self.bosses:
            return self.bosses[name]
        if name == "pad":
            return PAD_END
        sized = self._sized(name)
        if name == "pivot":  # the greatest of all bosses
            sized = max([sized, *map(self._sized, self.holes)])
        return sized

    @property
    def corner(self) -> float:
        """Radius of inside corners."""
        return max(FILLET, self.plate) if self.fillet is None else self.fillet

    @property
    def centres(self) -> dict[str, complex]:
        """Every hole by name, the pivot first."""
        return {"pivot": self.pivot, **self.holes}

    @property
    def web(self) -> float:
        """Least metal between holes and round them, mm."""
        process = PROCESSES.get(self.process)
        return self.plate * (process.web if process else 1.0)

    @property
    def guesses(self) -> tuple[Guess, ...]:
        """What was not given and is used all the same: mm, or a word."""
        names = [name for name in self.centres if name not in self.bores]
        bores = ((f"bore of {name}", self.bore(name)) for name in names)
        return (*self.guessed, *bores)

    def said(self, length: float) -> str:
        """Return a length of mm for people, in the unit that is spoken."""
        return say(length, self.speaks, 1 if self.speaks == "mm" else 3)

    def _sized(self, name: str) -> float:
        bore = self.bore(name)
        return 0.5 * bore + max(self.web, min(bore, TUBE_WALL))


def refuse_nonsense(plan: ArmPlan) -> None:
    """Raise every fault of a plan at once.

    Raises
    ------
    DesignError
    """
    faults = [*_number_faults(plan)]
    if not faults:
        faults = [*_name_faults(plan), *_size_faults(plan), *_place_faults(plan)]
    if faults:
        raise DesignError(faults)


def arm_fault(key: str, wrong: str, right: str) -> Fault:
    """Return what is wrong with an arm, and what would be right, each a sentence."""
    return Fault(key=key, wrong=f"{wrong}.", right=f"{right[:1].upper()}{right[1:]}.")


def _number_faults(plan: ArmPlan) -> Iterator[Fault]:
    points = {"pad": plan.pad, **plan.centres}
    for name, at in points.items():
        if not (math.isfinite(at.real) and math.isfinite(at.imag)):
            yield arm_fault(name, "has no place that is a number", "give x and z, mm")
    sizes = {"arm.plate": plan.plate, "arm.fillet": plan.corner}
    sizes |= {f"arm.bores.{name}": value for name, value in plan.bores.items()}
    sizes |= {f"arm.bosses.{name}": value for name, value in plan.bosses.items()}
    for key, value in sizes.items():
        if not (math.isfinite(value) and value > 0.0):
            yield arm_fault(key, f"is {value:g} mm", "it has to be above 0")
    stand = plan.pad_stand
    if stand is not None and not (math.isfinite(stand) and stand >= 0.0):
        yield arm_fault("arm.pad_stand", f"is {stand:g} mm", "give 0 or more")


def _name_faults(plan: ArmPlan) -> Iterator[Fault]:
    known = ", ".join(plan.centres)
    for table, names, more in (
        ("bores", plan.bores, ()),
        ("bosses", plan.bosses, ("pad",)),
        ("loose", plan.loose, ()),
        ("ways", plan.ways, ()),
    ):
        for name in sorted(set(names) - {*plan.centres, *more}):
            key = f"arm.{table}.{name}"
            yield arm_fault(key, "is no hole of this arm", f"it has {known}")
    for name in sorted({"pivot", "pad"} & set(plan.holes)):
        yield arm_fault(f"holes.{name}", "is a name already taken", "choose another")
    if plan.process not in PROCESSES:
        known = " or ".join(PROCESSES)
        yield arm_fault("arm.process", f"is {plan.process!r}", f"give {known}")
    for name, way in plan.ways.items():
        if way not in WAYS:
            known = ", ".join(WAYS)
            yield arm_fault(f"arm.ways.{name}", f"is {way!r}", f"give one of {known}")
    try:
        density(plan.material)
    except DesignError as error:
        yield from error.faults


def _size_faults(plan: ArmPlan) -> Iterator[Fault]:
    for name in plan.centres:
        wall = plan.boss(name) - 0.5 * plan.bore(name)
        if wall < plan.web - 1e-9:
            yield arm_fault(
                f"arm.bosses.{name}",
                f"leaves {plan.said(wall)} of metal round a bore of "
                f"{plan.said(plan.bore(name))}",
                f"give a radius of {plan.said(0.5 * plan.bore(name) + plan.web)} or more",
            )
    least = max(plan.plate, LEAST_FILLET)
    if plan.corner < least:
        yield arm_fault(
            "arm.fillet",
            f"is {plan.said(plan.corner)}: an inside corner that tight starts cracks",
            f"give {plan.said(least)} or more (the plate's thickness, and at least "
            f"{plan.said(LEAST_FILLET)})",
        )


def _place_faults(plan: ArmPlan) -> Iterator[Fault]:
    reach = abs(plan.pad - plan.pivot)
    least = plan.boss("pivot")
    if reach <= least:
        yield arm_fault(
            "pad",
            f"lies {plan.said(reach)} from the pivot, within its boss",
            f"an arm needs more than {plan.said(least)}",
        )
    names = list(plan.centres)
    for k, one in enumerate(names):
        for other in names[k + 1 :]:
            yield from _overlap(plan, one, other)


def _overlap(plan: ArmPlan, one: str, other: str) -> Iterator[Fault]:
    apart = abs(plan.centres[one] - plan.centres[other])
    web = apart - 0.5 * (plan.bore(one) + plan.bore(other))
    if web < plan.web:
        left = (
            f"{plan.said(web)} of metal is left" if web > 0.0 else "they run together"
        )
        yield arm_fault(
            f"holes.{other}",
            f"is {plan.said(apart)} from {one}, centre to centre: {left}",
            f"leave {plan.said(plan.web)} or more between them for {plan.process} in this "
            "plate",
        )
