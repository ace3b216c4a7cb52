"""A hydraulic cylinder driven by a rod, pushed or pulled."""

from dataclasses import dataclass
from typing import ClassVar

from linkage.design.keys import Form, Key
from linkage.design.records import Direction, Part, Point
from linkage.design.values import Value


@dataclass(frozen=True, kw_only=True, slots=True)
class Cylinder(Part):
    """A cylinder whose rod end moves along ``axis``.

    Exactly one of ``seat``; ``on`` and ``rod``; ``face`` and ``depth`` or ``proud``.
    """

    KIND: ClassVar[str] = "cylinder"
    KEYS: ClassVar[tuple[Key, ...]] = (
        Key(
            name="axis",
            form=Form.DIRECTION,
            placement=True,
            required=True,
            says="the way the piston moves when the pedal is pressed",
            example='axis = "forward"',
        ),
        Key(
            name="bore",
            form=Form.NUMBER,
            placement=True,
            choice_only=True,
            positive=True,
            least=5.0,
            most=80.0,
            says="the bore of the cylinder",
            example='bore = "3/4 in"',
        ),
        Key(
            name="stroke",
            form=Form.NUMBER,
            positive=True,
            least=2.0,
            most=200.0,
            says="the stroke that the cylinder has",
            example='stroke = "1.4 in"',
        ),
        Key(
            name="free_play",
            form=Form.NUMBER,
            placement=True,
            least=0.0,
            most=20.0,
            says="the gap still open between rod end and piston at rest",
            example="free_play = 0.5",
        ),
        Key(
            name="seat",
            form=Form.POINT,
            says="where the rod's end is at rest",
            example="seat = [233, 487]",
        ),
        Key(
            name="on",
            form=Form.POINT,
            says="any point of the cylinder's axis line",
            example="on = [233, 487]",
        ),
        Key(
            name="rod",
            form=Form.NUMBER,
            placement=True,
            positive=True,
            least=5.0,
            most=3000.0,
            says="the rod, hole to end",
            example="rod = 130",
        ),
        Key(
            name="face",
            form=Form.POINT,
            says="where the axis meets the mounting face",
            example="face = { ahead = 3, up = 489.5 }",
        ),
        Key(
            name="depth",
            form=Form.NUMBER,
            placement=True,
            least=-200.0,
            most=500.0,
            says="from the face along the axis to the rod's seat at rest",
            example='depth = "about 11"',
        ),
        Key(
            name="proud",
            form=Form.NUMBER,
            placement=True,
            least=-200.0,
            most=500.0,
            says="how far the rod's seat stands out of the face",
            example="proud = 12",
        ),
        Key(
            name="pull",
            form=Form.FLAG,
            says="true for a cylinder whose rod pulls",
            example="pull = true",
        ),
        Key(
            name="gland",
            form=Form.NUMBER,
            positive=True,
            least=1.0,
            most=60.0,
            says="diameter of the rod where it leaves a pull cylinder",
            example="gland = 10",
        ),
    )

    axis: Direction
    bore: Value | None = None
    stroke: Value | None = None
    free_play: Value | None = None
    seat: Point | None = None
    on: Point | None = None
    rod: Value | None = None
    face: Point | None = None
    depth: Value | None = None
    proud: Value | None = None
    pull: bool | None = None
    gland: Value | None = None

    def rules(self) -> list[tuple[str, str, str]]:
        """Return what does not go together."""
        right = (
            "Give one of: seat; on and rod; face and depth (into the face) "
            "or proud (standing out of it)."
        )
        given = [k for k in ("seat", "on", "face") if getattr(self, k) is not None]
        faults = []
        if not given:
            faults.append(("seat", "nothing says where the cylinder is.", right))
        elif len(given) > 1:
            faults.append(
                (given[1], f"{' and '.join(given)} say the same thing twice.", right)
            )
        elif given == ["on"] and self.rod is None:
            faults.append(("on", "on needs the rod's length beside it.", right))
        elif given == ["face"] and (self.depth is None) == (self.proud is None):
            faults.append(("face", "face needs one of depth and proud.", right))
        elif given != ["on"] and self.rod is not None:
            faults.append(
                ("rod", f"with {given[0]} the rod's length follows.", "Leave rod out.")
            )
        if given != ["face"]:
            faults += [
                (key, f"{key} counts from a face, and there is none.", right)
                for key in ("depth", "proud")
                if getattr(self, key) is not None
            ]
        if self.gland is not None and not self.pull:
            faults.append(
                (
                    "gland",
                    "a gland belongs to a pull cylinder.",
                    "Write pull = true, or leave gland out.",
                )
            )
        if self.pull and self.gland is None and self.bore is not None:
            faults.append(
                (
                    "pull",
                    "a pull cylinder needs its gland (the rod's diameter).",
                    "Write gland = 10, say.",
                )
            )
        return faults
