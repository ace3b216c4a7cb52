"""A quadrant: a cable's end wrapped on a round rim."""

from functools import cache
from typing import Any, ClassVar, Literal

from msgspec import Struct

from linkage.design.keys import Form, Key
from linkage.design.records import CableRun, Part, Point
from linkage.design.values import Value
from linkage.parts.cable import CABLE_RUN, RunRest, loose_run
from linkage.parts.moving import Body, Drive, Step, Unsound
from linkage.parts.shared_keys import THICK, pivot_key, turn_key
from linkage.places import Places
from solvers.jet import Num, lift, value
from solvers.planar import turns


class Quadrant(Part, frozen=True, kw_only=True):
    """Turned by the cable alone: turn = pull / radius."""

    KIND: ClassVar[str] = "quadrant"
    KEYS: ClassVar[tuple[Key, ...]] = (
        pivot_key("quadrant", "[0, 0]"),
        Key(
            name="radius",
            form=Form.NUMBER,
            placement=True,
            required=True,
            positive=True,
            least=2.0,
            most=500.0,
            says="from the pivot to the middle of the cable on the rim",
            example="radius = 20",
        ),
        Key(
            name="sense",
            form=Form.WORD,
            words=("cw", "ccw"),
            required=True,
            says="the way the cable turns it",
            example='sense = "ccw"',
        ),
        turn_key("quadrant"),
        CABLE_RUN,
        THICK,
    )

    pivot: Point
    radius: Value
    sense: Literal["cw", "ccw"]
    turn: Value | None = None
    cable: CableRun | None = None
    thick: Value | None = None

    def rules(self) -> list[tuple[str, str, str]]:
        """Return what does not go together."""
        if self.cable is None:
            return [
                (
                    "cable",
                    "a quadrant is driven by a cable, and none is given.",
                    "Write cable = { ferrule = [x, z], slack = 1.5 }.",
                )
            ]
        if self.cable.end_ferrule is not None:
            return [
                (
                    "cable",
                    "a quadrant needs no end_ferrule: the cable leaves its rim.",
                    "Leave end_ferrule out.",
                )
            ]
        return loose_run(self.cable, "cable")

    def place(self, places: Places, key: str) -> Any:
        """Return where ``pivot`` or a ferrule lies."""
        if key.startswith("cable."):
            return places.form(getattr(self.cable, key.removeprefix("cable.")))
        return super().place(places, key)

    def rest(self, places: Places, drive: Drive) -> "QuadrantRest":
        """Return the quadrant at rest in numbers."""
        if self.cable is None:
            raise TypeError("a quadrant without a cable is refused when it is read")
        return QuadrantRest(
            part=self,
            run=RunRest.of(self.cable, self.path, places, drive),
            pivot=places.point(f"{self.path}.pivot"),
            radius=places.number(self.radius),
        )


class QuadrantRest(Struct, frozen=True, kw_only=True, eq=False):
    """A quadrant in numbers, mm."""

    part: Quadrant
    run: RunRest
    pivot: Num
    radius: Num

    @property
    def rate(self) -> Any:
        """First turn per travel, rad/mm."""
        return self._sense * self.run.rate / value(self.radius)

    @property
    def _sense(self) -> float:
        return 1.0 if self.part.sense == "ccw" else -1.0

    @property
    def unsound(self) -> tuple[Unsound, ...]:
        """A cable can only pull."""
        return tuple(self.run.unsound)

    def follow(self, driver: Body) -> Step:
        """Return how the quadrant turns while ``driver`` turns."""
        drawn = self.run.follow(driver)
        turn = lift(drawn.taken / self.radius)
        signed = lift(turn * self._sense)
        return Step(
            path=self.part.path,
            kind="quadrant",
            link=drawn.link,
            end=lambda: turn,
            body=Body(self.pivot, cache(lambda: turns(signed.v)), signed),
            drawn=drawn,
        )
