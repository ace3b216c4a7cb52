"""What a picture shows, in numbers and words: plain records, no motion law, no page.

Points are complex, x + iz, in mm of the car: x forward, z up. Texts stand as the builder
will read them. A scene says what is there; the plans decide where on paper it goes.
"""

from collections.abc import Mapping
from typing import Literal, TypeAlias

import numpy as np
from msgspec import Struct, field
from numpy.typing import NDArray

from linkage.sheets.stamp import Stamp

When: TypeAlias = Literal["rest", "mid", "full"]


class Datum(Struct, frozen=True, kw_only=True, eq=False):
    """A mark that the builder measures from.

    Attributes
    ----------
    place : float
        x of a plumb string, or z of a level.
    text : str
        As the builder calls it: "the string at the scuttle lip".
    """

    place: float
    text: str


class Arm(Struct, frozen=True, kw_only=True, eq=False):
    """The pedal's own arm in one position.

    Attributes
    ----------
    outline : tuple of complex
        Points round it, as it is cut; none where no outline can be made: then it is
        drawn in usual proportions.
    """

    pivot: complex
    pad: complex
    holes: Mapping[str, complex] = field(default_factory=dict)
    outline: tuple[complex, ...] = ()


class Link(Struct, frozen=True, kw_only=True, eq=False):
    """A rod, or the straight inner of a cable, from end to end."""

    kind: Literal["rod", "cable"]
    points: tuple[complex, ...]


class Lever(Struct, frozen=True, kw_only=True, eq=False):
    """A driven lever or bell crank in one position; ``output`` None at a train's end."""

    pivot: complex
    input: complex
    output: complex | None = None


class Quadrant(Struct, frozen=True, kw_only=True, eq=False):
    """A driven quadrant in one position; ``mark`` is a point of its rim that turns."""

    pivot: complex
    radius: float
    mark: complex


class Pose(Struct, frozen=True, kw_only=True, eq=False):
    """All that moves, in one position; lists keep their order from pose to pose.

    Attributes
    ----------
    pad_alone : bool
        True where the pad is drawn and the arm is not, and no words beside it.
    """

    at: When
    travel: float
    pad_alone: bool = False
    arm: Arm | None = None
    links: tuple[Link, ...] = ()
    levers: tuple[Lever, ...] = ()
    quadrants: tuple[Quadrant, ...] = ()


class Cylinder(Struct, frozen=True, kw_only=True, eq=False):
    """A cylinder in the car.

    Attributes
    ----------
    axis : complex
        Unit vector: the way the piston moves when the pedal is pressed.
    face : complex
        Where the axis meets the mounting face.
    seat, end : complex
        The rod's end with the piston home, and with the piston at its end.
    full : complex
        The rod's end with the pedal at full.
    bore : float
        mm.
    pull : bool
        The rod pulls: the body lies behind the face along ``axis``.
    text : tuple of str
        Lines of the label.
    """

    axis: complex
    face: complex
    seat: complex
    end: complex
    full: complex
    bore: float
    pull: bool = False
    text: tuple[str, ...] = ("cylinder",)


class Ferrule(Struct, frozen=True, kw_only=True, eq=False):
    """The fixed end of a cable's casing; ``inner`` points along the bare inner."""

    at: complex
    inner: complex
    text: tuple[str, ...] = ("ferrule",)


class Square(Struct, frozen=True, kw_only=True, eq=False):
    """Where rod and arm come square: the corner, and a point on each leg."""

    corner: complex
    arm: complex
    rod: complex
    travel: float


class Named(Struct, frozen=True, kw_only=True, eq=False):
    """A name for a point, as drawn at rest."""

    at: complex
    text: tuple[str, ...]


class Fixture(Struct, frozen=True, kw_only=True, eq=False):
    """A fixed thing of the footwell: its name, and points round each of its outlines."""

    name: str
    outlines: tuple[tuple[complex, ...], ...]


class Group(Struct, frozen=True, kw_only=True, eq=False):
    """One mechanism in one frame: a pedal with what it drives, or a far end.

    Attributes
    ----------
    poses : tuple of Pose
        Rest first; mid and full where they exist.
    arc : tuple of complex
        The pad's way from rest to full.
    ticks : tuple of (float, complex)
        Travel and place, each `linkage.sheets.ruler.Ruler.tick`.
    pad_thick : float
        From the face that the sole touches to the back of the pad.
    pad_half : float
        Half the height of the pad along its face.
    pad_turn : complex
        Unit vector: what turns the line from pivot to pad onto the face.
    shoe : tuple of complex
        Points round the shoe at rest; none for a shoe of usual proportions.
    names : tuple of Named
        What is labelled.
    """

    name: str
    poses: tuple[Pose, ...]
    cylinders: tuple[Cylinder, ...] = ()
    ferrules: tuple[Ferrule, ...] = ()
    arc: tuple[complex, ...] = ()
    ticks: tuple[tuple[float, complex], ...] = ()
    pad_thick: float = 12.0
    pad_half: float = 32.0
    pad_turn: complex = 1 + 0j
    shoe: tuple[complex, ...] = ()
    square: Square | None = None
    names: tuple[Named, ...] = ()


class Reading(Struct, frozen=True, kw_only=True, eq=False):
    """A number that was typed: how far a point is from the string or above the level."""

    at: complex
    axis: Literal["back", "up"]
    text: str
    bold: bool = False


class Length(Struct, frozen=True, kw_only=True, eq=False):
    """A length between two points that is worth a dimension: a tape length or a gap.

    Attributes
    ----------
    beside : float
        How far the dimension line stands off, mm of paper, to the left from a to b as
        seen with forward to the right.
    """

    a: complex
    b: complex
    text: str
    beside: float = 0.0
    bold: bool = False


class Series(Struct, frozen=True, kw_only=True, eq=False):
    """One curve; nan where there is no value."""

    name: str
    travel: NDArray[np.float64]
    values: NDArray[np.float64]


class Band(Struct, frozen=True, kw_only=True, eq=False):
    """A target: from travel to travel, between two values; None is open."""

    start: float
    stop: float
    low: float | None
    high: float | None
    text: str = ""


class Wall(Struct, frozen=True, kw_only=True, eq=False):
    """A value that cannot be passed, such as the cylinder's end."""

    value: float
    text: str


class Spot(Struct, frozen=True, kw_only=True, eq=False):
    """A place on a curve with a word on it: "lowest, 5.31 at 48"."""

    travel: float
    value: float
    text: str


class Panel(Struct, frozen=True, kw_only=True, eq=False):
    """A quantity against pad travel; all numbers in the units that are shown."""

    name: str
    unit: str
    series: tuple[Series, ...]
    along: str = "mm of pad"
    bands: tuple[Band, ...] = ()
    walls: tuple[Wall, ...] = ()
    spots: tuple[Spot, ...] = ()


class Scene(Struct, frozen=True, kw_only=True, eq=False):
    """Everything on one sweep picture.

    Attributes
    ----------
    door_left : bool
        Seen from the left door: forward is to the left.
    back, up : Datum or None
        The builder's string and level.
    floor, bulkhead : pair of complex or None
        Two points of each line.
    fixtures : tuple of Fixture
        What else is fixed.
    groups : tuple of Group
        In the car's frame.
    far : tuple of Group
        Beyond a cable, each in a frame of its own.
    guesses : int
        How many numbers of the design are guesses.
    units : str
        "mm" or "in": of the lengths in texts, ticks and curves.
    notes : tuple of str
        What must not be missed, a sentence each.
    apart : tuple of Scene
        With several pedals: each alone. They are drawn side by side, at one scale, and
        this scene has no groups of its own, only what is said of all.
    """

    title: str
    stamp: Stamp
    groups: tuple[Group, ...] = ()
    far: tuple[Group, ...] = ()
    door_left: bool = False
    back: Datum | None = None
    up: Datum | None = None
    floor: tuple[complex, complex] | None = None
    bulkhead: tuple[complex, complex] | None = None
    fixtures: tuple[Fixture, ...] = ()
    readings: tuple[Reading, ...] = ()
    lengths: tuple[Length, ...] = ()
    panels: tuple[Panel, ...] = ()
    guesses: int = 0
    units: str = "mm"
    notes: tuple[str, ...] = ()
    apart: tuple["Scene", ...] = ()
