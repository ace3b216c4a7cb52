"""One pedal under load: what the foot feels, and every force of the train.

A pedal is looked at twice at every place: while it is pressed, and on its way home.
Friction holds back either way, so the two differ by the hysteresis.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Literal

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from linkage.design.records import Design
from linkage.faults import DesignError, Fault
from linkage.loads.burden import Burden, area_of, burden_of, friction_faults
from linkage.loads.equilibrium import Load, forces
from linkage.loads.marks import Mark, marks_of
from linkage.loads.returning import Return, returning
from linkage.motion.ends import Limit, find_limit
from linkage.motion.rest import PedalRest
from linkage.motion.run import move
from linkage.parts.cylinder import Cylinder
from linkage.places import Places
from linkage.pressing.columns import loaded_columns
from linkage.sweeping import POSITIONS, Series, standing
from solvers.jet import value

#: What may be stated: the foot's push (N), the force at the end (N), the pressure of a
#: cylinder (MPa), or the torque on what the train turns (N mm).
Stated = Literal["foot", "force", "pressure", "torque"]
Push = Literal["path", "leg"]


class Pressed(Struct, frozen=True, kw_only=True, eq=False):
    """A pedal under one load at chosen places of its travel.

    Attributes
    ----------
    pedal : str
    of, size : str, float
        What was stated; N, MPa or N mm.
    push : {"path", "leg"}
        The way of the foot.
    rest : PedalRest
    burden : Burden
    columns : mapping of str to Series
        Pressing; then what differs on the way home, ``.._returning``. Shape (n,).
    limit : Limit or None
        Where the bare linkage ends; only places before it are there.
    marks : tuple of Mark
        Where a force jumps or a spring changes its state.
    back : Return
        The pedal let go at full travel, with nothing at the end of its train.
    """

    pedal: str
    of: Stated
    size: float
    push: Push
    rest: PedalRest
    burden: Burden
    columns: Mapping[str, Series]
    limit: Limit | None
    marks: tuple[Mark, ...]
    back: Return

    def __getitem__(self, column: str) -> NDArray[np.float64]:
        """Return the values of a column."""
        return self.columns[column].values


def press(
    design: Design,
    pedal: str,
    of: Stated,
    size: float,
    *,
    push: Push | None = None,
    at: Sequence[float] | None = None,
    positions: int = POSITIONS,
) -> Pressed:
    """Load a pedal and carry it through its travel.

    Parameters
    ----------
    design : Design
    pedal : str
        Its name in the design.
    of, size : str, float
        What is stated: see `Stated`.
    push : {"path", "leg"}, optional
        Left out: along the leg where the file has ``[driver] hip``.
    at : sequence of float, optional
        Places of the travel, mm.
    positions : int
        Without ``at``: this many equal steps from rest to full, both ends in.

    Raises
    ------
    DesignError
        The pedal cannot stand at rest, or has nothing that takes such a load.
    """
    rest = standing(design, pedal)
    hip = _hip(design, push)
    push = "path" if hip is None else "leg"
    faults = [*friction_faults(rest), *_misfits(design, rest, of, hip)]
    if faults:
        raise DesignError(faults)
    whole = float(np.ravel(value(rest.travel))[0])
    places = np.linspace(0.0, whole, positions) if at is None else np.array(at, float)
    limit = find_limit(rest, max(whole, float(np.max(places, initial=0.0))))
    if limit is not None:
        places = places[places < limit.travel]
    burden, load = burden_of(rest), _load(rest, of, size)
    run = move(rest, places)
    there = forces(run, burden, load, way=1.0, hip=hip)
    home = forces(run, burden, load, way=-1.0, hip=hip)
    upto = whole if limit is None else min(whole, limit.travel)
    return Pressed(
        pedal=pedal,
        of=of,
        size=size,
        push=push,
        rest=rest,
        burden=burden,
        columns=loaded_columns(places, there, home, bore_area(rest), burden),
        limit=limit,
        marks=marks_of(rest, burden, upto),
        back=returning(rest, burden, upto),
    )


# ------------------------------------------------------------------ what is stated


def _hip(design: Design, push: Push | None) -> complex | None:
    """Return the point that the leg pushes from; None for a push along the path."""
    hip = design.driver.hip
    if push == "path" or (push is None and hip is None):
        return None
    if hip is None:
        wrong = "nothing says where the leg pushes from."
        right = "Write hip = [-850, 280] under [driver], or push along the path."
        fault = Fault(file=design.file, key="driver.hip", wrong=wrong, right=right)
        raise DesignError([fault])
    return complex(value(Places(design).form(hip)))


def _misfits(
    design: Design, rest: PedalRest, of: Stated, hip: complex | None
) -> Iterator[Fault]:
    """Say why a load does not fit this pedal."""
    wrong = _misfit(rest, of)
    if wrong is not None:
        yield Fault(
            file=design.file, line=rest.pedal.line, key=rest.pedal.name, **wrong
        )
    if hip is not None:
        arm = complex(value(rest.pad)) - complex(value(rest.pivot))
        leg = complex(value(rest.pad)) - hip
        if float(rest.sense) * (np.conj(arm) * leg).imag <= 0.0:
            yield Fault(
                file=design.file,
                line=design.driver.line,
                key="driver.hip",
                wrong=f"from there a leg cannot press the {rest.pedal.name} pedal.",
                right="The hip lies behind the pad: did a distance lose its sign?",
            )


def _misfit(rest: PedalRest, of: Stated) -> dict[str, str] | None:
    train = rest.pedal.train
    if of == "foot":
        return None
    last = train[-1] if train else None
    if last is None:
        return {"wrong": "it has no train to load.", "right": "State the foot's push."}
    if of == "pressure" and bore_area(rest) is None:
        if isinstance(last, Cylinder):
            return {
                "wrong": "a pressure needs the bore.",
                "right": 'Write bore = "3/4 in" into its cylinder, or state a force.',
            }
        return {
            "wrong": f"its train ends in a {last.KIND}, which has no pressure.",
            "right": "State a force.",
        }
    if of == "torque" and last.KIND not in ("lever", "quadrant"):
        return {
            "wrong": f"its train ends in a {last.KIND}, which turns nothing.",
            "right": "State a force.",
        }
    return None


def bore_area(rest: PedalRest) -> float | None:
    """Return the area of the piston that ends a train, mm2; None where not known."""
    last = rest.pedal.train[-1] if rest.pedal.train else None
    if not isinstance(last, Cylinder) or last.bore is None:
        return None
    gland = 0.0 if last.gland is None else last.gland.nominal
    return area_of(float(value(rest.places.number(last.bore))), gland)


def _load(rest: PedalRest, of: Stated, size: float) -> Load:
    if of == "foot":
        return Load(of="foot", size=size)
    if of == "torque":
        return Load(of="torque", size=size)
    return Load(
        of="end", size=size * (bore_area(rest) or 0.0 if of == "pressure" else 1.0)
    )
