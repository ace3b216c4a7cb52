"""A quadrant: a cable's end wrapped on a round rim."""

from dataclasses import dataclass
from typing import ClassVar, Literal

from linkage.design.keys import Form, Key, Measure
from linkage.design.records import CableRun, Part, Point
from linkage.design.values import Value
from linkage.parts.cable import CABLE_RUN


@dataclass(frozen=True, kw_only=True, slots=True)
class Quadrant(Part):
    """Turned by the cable alone: turn = pull / radius."""

    KIND: ClassVar[str] = "quadrant"
    KEYS: ClassVar[tuple[Key, ...]] = (
        Key(
            name="pivot",
            form=Form.POINT,
            required=True,
            says="what the quadrant turns on",
            example="pivot = [0, 0]",
        ),
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
        Key(
            name="turn",
            form=Form.NUMBER,
            measure=Measure.ANGLE,
            positive=True,
            most=6.3,
            says="what the quadrant has between its stops",
            example="turn = 82",
        ),
        CABLE_RUN,
    )

    pivot: Point
    radius: Value
    sense: Literal["cw", "ccw"]
    turn: Value | None = None
    cable: CableRun | None = None

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
        return []
