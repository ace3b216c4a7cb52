"""A Bowden cable: as the end of a train, and as what drives the next part."""

from dataclasses import dataclass
from typing import ClassVar

from linkage.design.keys import Form, Key
from linkage.design.records import Part, Point
from linkage.design.values import Value

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
    ),
    says="the cable that drives this part",
    example="cable = { ferrule = [210, 600], end_ferrule = [60, 10], slack = 1.5 }",
)


@dataclass(frozen=True, kw_only=True, slots=True)
class Cable(Part):
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
        if self.ferrule is None and self.drum is None:
            return [
                (
                    "ferrule",
                    "nothing says where the cable goes.",
                    "Write ferrule = [x, z] (and drum = R if it leaves a quadrant).",
                )
            ]
        return []
