"""A Bowden cable: as the end of a train, and as what drives the next part."""

from typing import Any, ClassVar

import numpy as np
from msgspec import Struct

from linkage.design.keys import Form, Key
from linkage.design.records import CableRun, Part, Point
from linkage.design.values import Value
from linkage.parts.moving import (
    SAME_PLACE,
    Body,
    Drawn,
    Drive,
    Link,
    Step,
    Unsound,
    number,
)
from linkage.parts.shared_keys import NOTES
from linkage.places import Places
from solvers.closure import span, take_up
from solvers.jet import Num, less, lift, value
from solvers.planar import between, dot, length

FERRULE = Key(
    name="ferrule",
    form=Form.POINT,
    says="the fixed ferrule at the pedal's end of the cable",
    example="ferrule = [210, 600]",
)
SLACK = Key(
    name="slack",
    form=Form.NUMBER,
    placement=True,
    least=0.0,
    most=100.0,
    says="what the pedal draws before the far end moves",
    example="slack = 1.5",
)
DRUM = Key(
    name="drum",
    form=Form.NUMBER,
    placement=True,
    positive=True,
    least=2.0,
    most=500.0,
    says="radius of the quadrant round the driving pivot that the cable leaves",
    example="drum = 45",
)
CABLE_RUN = Key(
    name="cable",
    form=Form.TABLE,
    table=(
        FERRULE,
        Key(
            name="end_ferrule",
            form=Form.POINT,
            says="the fixed ferrule at the far end of the cable",
            example="end_ferrule = [60, 10]",
        ),
        SLACK,
        DRUM,
        *NOTES,
    ),
    record=CableRun,
    says="the cable that drives this part",
    example="cable = { ferrule = [210, 600], end_ferrule = [60, 10], slack = 1.5 }",
)


def loose_run(run: "CableRun | Cable", key: str) -> list[tuple[str, str, str]]:
    """Return what is wrong, under ``key``, with a run that leads nowhere."""
    if run.ferrule is not None or run.drum is not None:
        return []
    return [
        (
            key,
            "nothing says where the cable goes.",
            "Write ferrule = [x, z] (and drum = R if it leaves a quadrant).",
        )
    ]


class Cable(Part, frozen=True, kw_only=True):
    """A cable that ends the train: what it draws is the answer."""

    KIND: ClassVar[str] = "cable"
    KEYS: ClassVar[tuple[Key, ...]] = (
        FERRULE,
        SLACK,
        DRUM,
        Key(
            name="pull",
            form=Form.NUMBER,
            positive=True,
            least=0.5,
            most=500.0,
            says="what the far end needs",
            example="pull = 38",
        ),
    )

    ferrule: Point | None = None
    slack: Value | None = None
    drum: Value | None = None
    pull: Value | None = None

    def rules(self) -> list[tuple[str, str, str]]:
        """Return what does not go together."""
        return loose_run(self, "ferrule")

    def rest(self, places: Places, drive: Drive) -> "CableRest":
        """Return the cable at rest in numbers."""
        return CableRest(part=self, run=RunRest.of(self, self.path, places, drive))


class RunRest(Struct, frozen=True, kw_only=True, eq=False):
    """The near end of a cable in numbers: to a ferrule, or off a drum.

    ``sense`` is the sign of the drum's turn that draws cable.
    """

    drive: Drive
    ferrule: Num | None
    drum: Num | None
    slack: Num
    rate: Any

    @classmethod
    def of(
        cls, run: "CableRun | Cable", path: str, places: Places, drive: Drive
    ) -> "RunRest":
        """Return the run of a cable part, or of the cable that drives a part."""
        drum = None if run.drum is None else places.number(run.drum)
        ferrule = None
        if run.ferrule is not None and drum is None:
            key = "cable.ferrule" if isinstance(run, CableRun) else "ferrule"
            ferrule = places.point(f"{path}.{key}")
        if drum is not None:
            rate = value(drum) * abs(drive.rate)
        else:
            away = value(drive.hole) - value(ferrule)
            rate = dot(away, drive.velocity()) / abs(away)
        return cls(
            drive=drive,
            ferrule=ferrule,
            drum=drum,
            slack=places.number(run.slack),
            rate=rate,
        )

    @property
    def unsound(self) -> list[Unsound]:
        """A cable can only pull."""
        flaws = [Unsound(np.less_equal(self.rate, 0.0), "", self._say_push)]
        if self.ferrule is not None:
            run = np.abs(value(self.drive.hole) - value(self.ferrule))
            flaws.append(Unsound(run < SAME_PLACE, "ferrule", self._say_same))
        return flaws

    def _say_same(self) -> tuple[str, str]:
        return (
            "the ferrule is where the driving hole is.",
            "Give the place where the outer ends, away from the hole.",
        )

    def _say_push(self) -> tuple[str, str]:
        first = -10.0 * number(self.rate)
        if not first > 0.0:
            return (
                "at rest pressing does not draw this cable: arm and cable are in one "
                "line (dead centre).",
                "Move the hole so that the cable stands nearer to square.",
            )
        return (
            f"pressing moves the nipple {first:.1f} mm TOWARDS its ferrule in the "
            "first 10 of pad. A cable can only pull.",
            "Put the hole on the other side of the pivot, or the ferrule behind it.",
        )

    def _arm(self) -> Any:
        """Return the length of the driving arm, mm."""
        return abs(value(self.drive.hole) - value(self.drive.pivot))

    def follow(self, driver: Body) -> Drawn:
        """Return what the cable draws while ``driver`` turns."""
        if self.drum is not None:
            sense = np.where(np.asarray(self.drive.rate) < 0.0, -1.0, 1.0)
            pull = lift(driver.turn() * sense * self.drum)
            link = Link("cable", driver, far=lambda: driver.pivot)
        else:
            arm = driver.arm(self.drive.hole)
            run = span(arm, driver.pivot - self.ferrule)
            pull = less(run.length, length(self.drive.hole - self.ferrule))
            link = Link(
                "cable",
                driver,
                far=lambda: self.ferrule,
                corner=lambda: between(arm, run.away, self._arm() * run.length.v),
            )
        return Drawn(
            link=link,
            pull=pull,
            taken=take_up(pull, self.slack),
            slack=value(self.slack),
        )


class CableRest(Struct, frozen=True, kw_only=True, eq=False):
    """A cable that ends the train, in numbers."""

    part: Cable
    run: RunRest

    @property
    def rate(self) -> Any:
        """First pull per travel."""
        return self.run.rate

    @property
    def unsound(self) -> tuple[Unsound, ...]:
        """A cable can only pull."""
        return tuple(self.run.unsound)

    def follow(self, driver: Body) -> Step:
        """Return what the cable's near end draws while ``driver`` turns."""
        drawn = self.run.follow(driver)
        return Step(
            path=self.part.path,
            kind="cable",
            link=drawn.link,
            end=lambda: drawn.pull,
            drawn=drawn,
        )
