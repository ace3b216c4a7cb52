"""A balance bar: it ends a train and shares its push between two cylinders.

The bar lies across the car. In side view its bearing and both rods' ends are at the hole
that drives it, so that without loads, held square, each cylinder moves as if it were
alone; the bearing moves by the mean of both, weighed by their shares of the push.
"""

from typing import ClassVar

from msgspec import Struct

from linkage.design.keys import Form, Key
from linkage.design.records import Part, Towards
from linkage.design.values import Value
from linkage.places import Places
from linkage.units import Measure
from solvers.jet import Num


class BalanceBar(Part, frozen=True, kw_only=True):
    """A bar with its bearing ``shift`` off the middle of its ``spacing``."""

    KIND: ClassVar[str] = "balance_bar"
    BRANCHES: ClassVar[tuple[str, ...]] = ("front", "rear")
    KEYS: ClassVar[tuple[Key, ...]] = (
        Key(
            name="spacing",
            form=Form.NUMBER,
            placement=True,
            required=True,
            positive=True,
            least=10.0,
            most=300.0,
            says="the distance from rod to rod across the bar",
            example='spacing = "2.5 in"',
        ),
        Key(
            name="shift",
            form=Form.TOWARDS,
            placement=True,
            most=150.0,
            says="how far the bearing stands off the middle of the bar",
            example='shift = "3 towards front"',
        ),
        Key(
            name="tilt",
            form=Form.NUMBER,
            measure=Measure.ANGLE,
            positive=True,
            most=0.8,
            says="how far the bar turns either way before it touches",
            example='tilt = "about 12 deg"',
        ),
        Key(
            name="front_longer",
            form=Form.NUMBER,
            least=-60.0,
            most=60.0,
            says="by how much the front rod is cut longer than one that holds the bar "
            "square at rest",
            example="front_longer = 6",
        ),
    )

    spacing: Value
    shift: Towards | None = None
    tilt: Value | None = None
    front_longer: Value | None = None

    @property
    def shift_path(self) -> str:
        """Return the path of the shift, whether the file gives it or not."""
        return f"{self.path}.shift"

    @property
    def shift_sign(self) -> float:
        """Return +1 where the number of the shift counts towards the front."""
        return 1.0 if self.shift is None else self.shift.sign


class BarRest(Struct, frozen=True, kw_only=True, eq=False):
    """A bar in numbers, mm: rod to rod, and the bearing's shift towards the front."""

    part: BalanceBar
    spacing: Num
    shift: Num

    @property
    def share(self) -> Num:
        """Return the front rod's share of the push."""
        return self.shift / self.spacing + 0.5

    def mean(self, front: Num, rear: Num) -> Num:
        """Return what the bearing moves by where the rods move by these."""
        return self.share * front + (1.0 - self.share) * rear


def bar_rest(part: BalanceBar, places: Places) -> BarRest:
    """Return a bar in numbers."""
    shift = places.number(Value(path=part.shift_path))
    if part.shift is not None:
        shift = places.number(part.shift.value)
    return BarRest(
        part=part, spacing=places.number(part.spacing), shift=part.shift_sign * shift
    )
