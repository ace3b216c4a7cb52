"""The frozen records that a design file is read into.

Points stay as written (a form, not two numbers), so that a reach or an angle can be
free. Names are resolved by the reader: a *canonical* name is ``brake.pivot``,
``brake.holes.lower``, ``brake.train.2.output`` or ``point.shaft``. Nothing here
computes; `linkage.places` turns records into numbers.
"""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, ClassVar, Literal

from msgspec import Struct, field

from linkage.design.brake_records import Circuit, Vehicle
from linkage.design.keys import Key
from linkage.design.room_records import Fixed, Shoe
from linkage.design.rule_records import Rules
from linkage.design.values import Value

Word = Literal["ahead", "back", "up", "down"]
Press = Literal["forward", "up", "down"]
Duty = Literal["brake", "clutch", "throttle", "other"]
EMPTY: Mapping[str, Any] = MappingProxyType({})


class Direction(Struct, frozen=True, kw_only=True):
    """``base + sign * value``, in rad: "down, 9 deg back" or plain degrees."""

    base: float = 0.0
    sign: float = 1.0
    value: Value | None = None
    text: str = ""


class Towards(Struct, frozen=True, kw_only=True):
    """A length off a middle: ``sign * value``, mm; "3 towards front" has sign +1."""

    sign: float = 1.0
    value: Value
    line: int = 0


class Cartesian(Struct, frozen=True, kw_only=True):
    """``[x, z]`` or words without signs; counted from ``base`` where given.

    ``x = x_sign * x.nominal``: "back" and "down" have sign -1 and paths of their
    own (``pad.back``). A word left out is a fixed zero.
    """

    x: Value
    z: Value
    x_sign: float = 1.0
    z_sign: float = 1.0
    base: str | None = None
    line: int = 0


class Polar(Struct, frozen=True, kw_only=True):
    """``reach`` from ``base`` at ``angle`` (from the line base -> ``off``, if any)."""

    base: str
    reach: Value
    angle: Direction
    off: str | None = None
    line: int = 0


class OffString(Struct, frozen=True, kw_only=True):
    """``along`` the line ``start`` -> ``end``, then ``across`` square off it."""

    start: str
    end: str
    along: Value
    across: Value | None = None
    word: Word = "ahead"
    line: int = 0


class Same(Struct, frozen=True, kw_only=True):
    """The very point that another name names."""

    base: str
    line: int = 0


class Chosen(Struct, frozen=True, kw_only=True):
    """One of several named points: ``clevis = { one_of = ["lower", "upper"] }``.

    ``names`` as written, ``options`` canonical; ``path`` and ``span`` as a `Value`'s.
    """

    path: str
    names: tuple[str, ...]
    options: tuple[str, ...]
    line: int = 0
    span: tuple[int, int] = (0, 0)


class SideReach(Struct, frozen=True, kw_only=True):
    """A driven input by ``reach`` from its own pivot, and the side it lies on.

    ``side`` is of the line from the own pivot to the driving hole. Needs the
    part's ``rod``.
    """

    reach: Value
    side: Literal["above", "below", "ahead", "back"]
    line: int = 0


Point = Cartesian | Polar | OffString | Same | Chosen | SideReach


class CableRun(Struct, frozen=True, kw_only=True):
    """How a cable drives a part: see the design file's ``cable = {...}``."""

    ferrule: Point | None = None
    end_ferrule: Point | None = None
    slack: Value | None = None
    drum: Value | None = None
    name: str | None = None
    thread: str | None = None
    adjusts: str | None = None
    line: int = 0


class Part(Struct, frozen=True, kw_only=True):
    """What every part of a train has; each kind adds its own fields.

    A subclass names its ``KIND`` and ``KEYS``; field names equal key names. The
    reader passes None for an optional key that is absent. ``NAMED`` are the points
    that it has whichever keys are given. ``BRANCHES`` are the sides of a part that
    splits the train: the parts behind it then stand in the train in its place, each
    with its ``branch`` and, as ``within``, the number that the file gives the split.
    """

    KIND: ClassVar[str] = ""
    KEYS: ClassVar[tuple[Key, ...]] = ()
    NAMED: ClassVar[tuple[str, ...]] = ()
    BRANCHES: ClassVar[tuple[str, ...]] = ()

    pedal: str
    number: int
    line: int = 0
    name: str | None = None
    thread: str | None = None
    adjusts: str | None = None
    lines: Mapping[str, int] = field(default_factory=lambda: EMPTY)
    branch: str = ""
    within: int = 0

    @property
    def path(self) -> str:
        """Return the canonical path, ``brake.train.2``; ``brake.train.2.front.1``."""
        return f"{self.pedal}.{self.label}"

    @property
    def label(self) -> str:
        """Return the path within the pedal, ``train.2``."""
        if self.branch:
            return f"train.{self.within}.{self.branch}.1"
        return f"train.{self.number}"

    @property
    def behind(self) -> int:
        """Return the number of the part that drives it; 0 for the arm."""
        return (self.within or self.number) - 1

    @property
    def ends(self) -> bool:
        """Return True where nothing can stand behind it in a train."""
        return True

    def rules(self) -> list[tuple[str, str, str]]:
        """Return (key, wrong, right) for keys that do not go together."""
        return []

    def place(self, places: Any, key: str) -> Any:
        """Return where the part's point ``key`` lies at rest, x + iz in mm."""
        return places.form(getattr(self, key))

    def rest(self, places: Any, drive: Any) -> Any:
        """Return the part at rest in numbers, ready to move."""
        raise TypeError(f"{self.KIND} cannot move {places} by {drive}")


class FullStop(Struct, frozen=True, kw_only=True):
    """Where the travel ends: ``travel``, or ``full = {tape|back|ahead|up|down}``."""

    value: Value
    how: Literal["travel", "tape", "back", "ahead", "up", "down"] = "travel"


class State(Struct, frozen=True, kw_only=True):
    """A pressed brake, by what is known of it.

    Attributes
    ----------
    of : {"foot", "pressure", "deceleration"}
        The foot's push (N), the pressure of the lines (MPa), or what the car does (g0).
    size : float
    """

    of: Literal["foot", "pressure", "deceleration"]
    size: float


class Place(Struct, frozen=True, kw_only=True):
    """Where along the travel a target looks.

    ``low`` and ``high`` are mm, or fractions of the travel where ``share`` is True;
    equal for a single place. ``text`` as written ("0 to 70 mm"; "whole travel").
    With a ``state`` it is the place where a pressed brake then is, and they are 0.
    """

    low: float = 0.0
    high: float = 1.0
    share: bool = True
    text: str = "whole travel"
    state: State | None = None

    @property
    def single(self) -> bool:
        """Return True for one place, False for a stretch."""
        return self.low == self.high

    def is_beyond(self, travel: float) -> bool:
        """Return True for a place in mm that lies beyond a travel."""
        return not self.share and self.high > travel * (1.0 + 1e-9)


class Target(Struct, frozen=True, kw_only=True):
    """One wish: ``of`` a quantity ``at`` a place.

    Numbers in internal units (rad for angles; ratio change as a fraction is *not*
    used: it stays in per cent). ``within`` belongs to ``exact``; ``within_said`` is
    False where the default was taken. ``case`` is what has failed of a pressed brake:
    "booster dead", "front lost"; else empty.
    """

    number: int
    of: str
    at: Place
    exact: float | None = None
    within: float | None = None
    within_said: bool = True
    least: float | None = None
    most: float | None = None
    prefer: Literal["small", "large"] | None = None
    which: str | int | None = None
    between: tuple[str, ...] = ()
    case: str = ""
    unit: str = "mm"
    line: int = 0


class Arm(Struct, frozen=True, kw_only=True):
    """``[pedal.X.arm]``: what the arm is cut from. Defaults are guesses."""

    plate: Value
    material: str
    material_guess: bool = True
    process: str = "laser"
    mass: Value | None = None
    bores: Mapping[str, Value] = field(default_factory=lambda: EMPTY)
    line: int = 0


class Spring(Struct, frozen=True, kw_only=True):
    """``[pedal.X.spring]``: between a point of the arm and a fixed one, or a torsion.

    A torsion spring turns about the pedal's pivot and has no points; its ``rate`` is
    N mm/rad and its ``preload`` N mm. The others have N/mm and N.
    """

    kind: Literal["extension", "compression", "torsion"]
    rate: Value
    number: int
    on_arm: Point | None = None
    fixed: Point | None = None
    preload: Value | None = None
    free_length: Value | None = None
    initial_tension: Value | None = None
    solid: Value | None = None
    line: int = 0
    lines: Mapping[str, int] = field(default_factory=lambda: EMPTY)


class Friction(Struct, frozen=True, kw_only=True):
    """``[pedal.X.friction]``: what rubs. Defaults are guesses; seals default to none."""

    pivot: Value
    pins: Value
    pivot_pin: Value
    pin: Value
    seal: Value | None = None
    seal_share: Value | None = None
    line: int = 0


class Pedal(Struct, frozen=True, kw_only=True):
    """One pedal with its train, targets and arm.

    ``points`` has ``pivot``, ``pad``, ``clevis`` and ``holes.NAME``. Where a balance
    ``bar`` ends the train, its front and rear cylinder are the last two parts of it.
    """

    name: str
    duty: Duty
    points: Mapping[str, Point]
    full: FullStop
    press: Press | None = None
    train: tuple[Part, ...] = ()
    bar: Part | None = None
    targets: tuple[Target, ...] = ()
    arm: Arm
    springs: tuple[Spring, ...] = ()
    friction: Friction | None = None
    across: Mapping[str, Value] = field(default_factory=lambda: EMPTY)
    locked: tuple[str, ...] = ()
    pad_thick: Value | None = None
    pad_wide: Value | None = None
    pad_high: Value | None = None
    pad_lean: Value | None = None
    line: int = 0
    lines: Mapping[str, int] = field(default_factory=lambda: EMPTY)

    def part_of(self, key: str) -> Part:
        """Return the part that a path within the pedal belongs to."""
        parts: tuple[Part, ...] = self.train
        if self.bar is not None:
            parts = (*parts, self.bar)
        return next(each for each in parts if f"{key}.".startswith(f"{each.label}."))


class Marks(Struct, frozen=True, kw_only=True):
    """The builder's own datums: "the string at the scuttle lip", "the bare floor"."""

    back: str = ""
    up: str = ""


class Footwell(Struct, frozen=True, kw_only=True):
    """``[footwell]``: a number is a level floor, an upright bulkhead; what is fixed."""

    floor: Value | tuple[Point, Point] | None = None
    bulkhead: Value | tuple[Point, Point] | None = None
    fixed: tuple[Fixed, ...] = ()
    marks: Marks = field(default_factory=Marks)
    line: int = 0


class Driver(Struct, frozen=True, kw_only=True):
    """``[driver]``: who pushes.

    ``hip`` is the point that the leg pushes from, ``heel`` where the heel stands.
    """

    hip: Point | None = None
    heel: Point | None = None
    shoe: Shoe | None = None
    line: int = 0


class Design(Struct, frozen=True, kw_only=True):
    """One file, one footwell.

    Attributes
    ----------
    file : str
        As the user named it.
    text : str
        The whole text as read: line ends, and a byte-order mark in front, as in the
        file.
    values : mapping
        Every `Value` of the file by its path, in file order.
    choices : mapping
        Every choice of names by its path.
    guesses : tuple of Value
        The values said to be "about", and the defaults that matter.
    cautions : tuple of Fault
        Said, and the work goes on.
    """

    file: str
    text: str
    title: str = ""
    units: Literal["mm", "in"] = "mm"
    scatter: Literal["even", "normal"] = "even"
    pedals: Mapping[str, Pedal] = field(default_factory=lambda: EMPTY)
    points: Mapping[str, Point] = field(default_factory=lambda: EMPTY)
    footwell: Footwell = field(default_factory=Footwell)
    driver: Driver = field(default_factory=Driver)
    vehicle: Vehicle | None = None
    circuits: Mapping[str, Circuit] = field(default_factory=lambda: EMPTY)
    rules: Rules = field(default_factory=Rules)
    door: Literal["left", "right"] = "right"
    values: Mapping[str, Value] = field(default_factory=lambda: EMPTY)
    choices: Mapping[str, Chosen] = field(default_factory=lambda: EMPTY)
    guesses: tuple[Value, ...] = ()
    cautions: tuple[Any, ...] = ()
