"""A lever on a fixed pivot: with an output a bell crank, without one an end."""

from dataclasses import dataclass
from typing import ClassVar

from linkage.design.keys import Form, Key, Measure
from linkage.design.records import CableRun, Part, Point
from linkage.design.values import Value
from linkage.parts.cable import CABLE_RUN


@dataclass(frozen=True, kw_only=True, slots=True)
class Lever(Part):
    """Turned by a rod into ``input``, or by a cable."""

    KIND: ClassVar[str] = "lever"
    KEYS: ClassVar[tuple[Key, ...]] = (
        Key(
            name="pivot",
            form=Form.POINT,
            required=True,
            says="what the lever turns on",
            example="pivot = [180, 95]",
        ),
        Key(
            name="input",
            form=Form.POINT,
            required=True,
            says="the hole that the rod or cable drives",
            example="input = [172, 140]",
        ),
        Key(
            name="output",
            form=Form.POINT,
            says="the hole that drives the next part",
            example="output = [225, 99]",
        ),
        Key(
            name="turn",
            form=Form.NUMBER,
            measure=Measure.ANGLE,
            positive=True,
            most=6.3,
            says="what the lever has between its stops",
            example="turn = 82",
        ),
        Key(
            name="rod",
            form=Form.NUMBER,
            placement=True,
            positive=True,
            least=5.0,
            most=3000.0,
            says="the rod that drives it, hole to hole",
            example="rod = 146",
        ),
        CABLE_RUN,
    )

    pivot: Point
    input: Point
    output: Point | None = None
    turn: Value | None = None
    rod: Value | None = None
    cable: CableRun | None = None

    def rules(self) -> list[tuple[str, str, str]]:
        """Return what does not go together."""
        faults = []
        if self.cable is not None and self.rod is not None:
            faults.append(
                ("rod", "a lever is driven by a rod or a cable, not both.", "Drop one.")
            )
        if self.cable is not None and self.cable.end_ferrule is None:
            faults.append(
                (
                    "cable",
                    "nothing says where the cable ends at this lever.",
                    "Write end_ferrule = [x, z] into cable: the fixed ferrule "
                    "in front of the lever's input.",
                )
            )
        return faults
