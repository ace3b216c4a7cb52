"""What the arm weighs, where its weight acts, and how hard it is to swing.

From its outline as it is cut, less its holes, times plate and density; where the file
has its mass off a scale, that stands, spread over the same outline. Welded tubes and
the pad's plate are not in the outline, and so not in a mass that is worked out.
"""

from typing import Any

from msgspec import Struct

from linkage.faults import DesignError
from linkage.motion.rest import PedalRest
from linkage.motion.run import Run
from linkage.units import GRAVITY
from solvers.jet import value
from solvers.planar import cross


class Weight(Struct, frozen=True, kw_only=True, eq=False):
    """A mass that turns with the arm.

    Attributes
    ----------
    mass : float
        kg.
    centre : complex
        From the pivot to its centre, pedal at rest, mm.
    inertia : float
        About the pivot, kg mm2.
    guesses : tuple of (str, float or str)
        What it rests on that the file does not say.
    """

    mass: float
    centre: complex
    inertia: float
    guesses: tuple[tuple[str, float | str], ...] = ()

    def on_arm(self, run: Run) -> tuple[Any, Any]:
        """Return its force on the arm, N, and that force's moment about the pivot."""
        arm = value(run.arm.carry(value(run.arm.pivot) + self.centre))
        force = -1j * self.mass * float(GRAVITY)
        return force, cross(arm - value(run.arm.pivot), force)

    def stored(self, run: Run) -> Any:
        """Return its energy of height, N mm, counted from the pivot."""
        arm = value(run.arm.carry(value(run.arm.pivot) + self.centre))
        return self.mass * float(GRAVITY) * (arm - value(run.arm.pivot)).imag


def weight_of(rest: PedalRest) -> Weight | None:
    """Return the weight of a single pedal's arm; None where it has no outline."""
    from linkage.arm.fitted import plan_at
    from linkage.arm.outline import shape_arm
    from linkage.design.metals import density
    from solvers.plane.measure import area, centroid, polar_moment
    from solvers.plane.pieces import circle

    pedal = rest.pedal
    try:
        plan = plan_at(rest.places.design, pedal.name, rest.places)
        shape = shape_arm(plan)
        plate = plan.plate * density(plan.material) * 1e-9
    except DesignError:
        return None
    holes = [circle(at, 0.5 * plan.bore(name)) for name, at in plan.centres.items()]
    rings = [(shape.contour, 1.0), *((hole, -1.0) for hole in holes)]
    whole = sum(sign * area(ring) for ring, sign in rings)
    moment = sum(sign * area(ring) * centroid(ring) for ring, sign in rings)
    swing = sum(sign * polar_moment(ring, plan.pivot) for ring, sign in rings)
    given = pedal.arm.mass
    mass = whole * plate if given is None else given.nominal
    return Weight(
        mass=float(mass),
        centre=complex(moment / whole - plan.pivot),
        inertia=float(mass * swing / whole),
        guesses=plan.guessed if given is None else (),
    )
