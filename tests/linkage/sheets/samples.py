"""Invented parts and scenes for the tests of the sheets."""

import cmath
import math

import numpy as np
from msgspec.structs import replace
from numpy.typing import NDArray

from linkage.sheets.card import Blank
from linkage.sheets.scene import (
    Arm,
    Band,
    Cylinder,
    Datum,
    Ferrule,
    Group,
    Length,
    Lever,
    Link,
    Named,
    Panel,
    Pose,
    Quadrant,
    Reading,
    Scene,
    Series,
    Spot,
    Square,
    Wall,
    When,
)
from linkage.sheets.stamp import Stamp

STAMP = Stamp(file="brake.toml", date="3 May 18:42", fingerprint="8f3a21")

PIVOT, PAD, BAR = 118 + 546j, 206 + 258j, 127 + 490j
PIVOT, PAD, BAR = (-p.conjugate() for p in (PIVOT, PAD, BAR))  # behind the string


def belt(a: complex, b: complex, ra: float, rb: float) -> NDArray[np.float64]:
    """Return the outline of a belt round two circles as lines and true arcs."""
    way = (b - a) / abs(b - a)
    lean = math.asin((ra - rb) / abs(b - a))
    right, left = (way * cmath.rect(1.0, s * (math.pi / 2 - lean)) for s in (-1, 1))
    near, far = math.tan((math.pi + 2 * lean) / 4), math.tan((math.pi - 2 * lean) / 4)
    points = [a + ra * right, b + rb * right, b + rb * left, a + ra * left]
    bulges = [0.0, far, 0.0, near]
    return np.array([[p.real, p.imag, k] for p, k in zip(points, bulges, strict=True)])


ARM = belt(PIVOT, PAD, 23.5, 14.0)
HOLES: dict[str, tuple[complex, float | None]] = {
    "pivot": (PIVOT, 24.6),
    "bar tube": (BAR, 25.0),
    "spring": (-150 + 430j, None),
}


def turn_about(pivot: complex, place: complex, angle: float) -> complex:
    """Return ``place`` turned about ``pivot``."""
    return pivot + (place - pivot) * cmath.rect(1.0, angle)


def on_axis(hole: complex, rod: float, seat: complex, axis: complex) -> complex:
    """Return the place on the axis that is ``rod`` ahead of ``hole``."""
    rel = (hole - seat) / axis
    return seat + axis * (rel.real + math.sqrt(rod**2 - rel.imag**2))


def crossing(a: complex, ra: float, b: complex, rb: float, near: complex) -> complex:
    """Return the crossing of two circles that is nearest to ``near``."""
    d = abs(b - a)
    x = (ra**2 - rb**2 + d**2) / (2 * d)
    h = math.sqrt(ra**2 - x**2)
    way = (b - a) / d
    return min(
        (a + way * complex(x, s * h) for s in (1, -1)), key=lambda p: abs(p - near)
    )


WHEN: tuple[When, ...] = ("rest", "mid", "full")


def arc_of(pivot: complex, pad: complex, travel: float, sign: float) -> list[complex]:
    reach = abs(pad - pivot)
    count = int(travel / 2) + 1
    return [
        turn_about(pivot, pad, sign * travel * n / (count - 1) / reach)
        for n in range(count)
    ]


def ticks_of(
    pivot: complex, pad: complex, travel: float, sign: float
) -> tuple[tuple[float, complex], ...]:
    reach = abs(pad - pivot)
    steps = range(0, int(travel) + 1, 10)
    return tuple((float(t), turn_about(pivot, pad, sign * t / reach)) for t in steps)


def hanging_group(
    *, name: str = "brake", shift: complex = 0j, travel: float = 150.0
) -> Group:
    """A hanging pedal that pushes one cylinder, moved by ``shift``."""
    pivot, pad, hole = PIVOT + shift, PAD + shift, BAR + shift
    face, axis = 3 + 489.5j + shift, 1 + 0j
    seat = face + 11 * axis
    rod = abs(seat - hole)
    poses, ends = [], []
    for when, moved in zip(WHEN, (0.0, travel / 2, travel), strict=True):
        angle = moved / abs(pad - pivot)
        here = turn_about(pivot, hole, angle)
        end = on_axis(here, rod, seat, axis)
        ends.append(end)
        poses.append(
            Pose(
                at=when,
                travel=moved,
                arm=Arm(
                    pivot=pivot,
                    pad=turn_about(pivot, pad, angle),
                    holes={"bar": here},
                ),
                links=(Link(kind="rod", points=(here, end)),),
            )
        )
    square = turn_about(pivot, hole, 48 / 301)
    return Group(
        name=name,
        poses=tuple(poses),
        cylinders=(
            Cylinder(
                axis=axis,
                face=face,
                seat=seat,
                end=seat + 30.5 * axis,
                full=ends[-1],
                bore=17.78,
                text=("front and rear, 0.70 in (17.78)", "3.2 left at full"),
            ),
        ),
        arc=tuple(arc_of(pivot, pad, travel, 1.0)),
        ticks=ticks_of(pivot, pad, travel, 1.0),
        pad_thick=13.0,
        square=Square(
            corner=square,
            arm=pivot,
            rod=on_axis(square, rod, seat, axis),
            travel=48.0,
        ),
        names=(
            Named(at=pivot, text=("pivot",)),
            Named(at=hole, text=('hole "bar"',)),
        ),
    )


def sweep_numbers(
    travel: float, ratio: float, play: float
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Made-up but smooth: travel, ratio, stroke."""
    t = np.linspace(0.0, travel, 61)
    ratios = ratio * (1.0 + 0.05 * ((t - 48.0) / 100.0) ** 2)
    moved = np.concatenate([[0.0], np.cumsum(np.diff(t) / ratios[1:])])
    return t, ratios, np.maximum(moved - play, 0.0)


def hanging_scene(
    *, door_left: bool = False, title: str = "Quillet two-seater: brake"
) -> Scene:
    travel, ratio, stroke = sweep_numbers(150.0, 5.31, 0.5)
    angle = 1.2 * np.sin(travel / 40.0) - 0.2
    full = turn_about(PIVOT, PAD, 150 / 301)
    back = full + 13.0 * cmath.rect(1.0, math.pi / 2) * (full - PIVOT) / abs(
        full - PIVOT
    )
    return Scene(
        title=title,
        stamp=STAMP,
        groups=(hanging_group(),),
        door_left=door_left,
        back=Datum(place=0.0, text="string at the scuttle lip"),
        up=Datum(place=0.0, text="bare floor"),
        floor=(-400 + 0j, 100 + 0j),
        bulkhead=(10 + 0j, 10 + 600j),
        readings=(
            Reading(at=PIVOT, axis="back", text="118 back"),
            Reading(at=PAD, axis="back", text="206 back"),
            Reading(at=BAR, axis="back", text="127 back"),
            Reading(at=3 + 489.5j, axis="back", text="3 ahead"),
            Reading(at=PIVOT, axis="up", text="546 up"),
            Reading(at=PAD, axis="up", text="258 up"),
            Reading(at=BAR, axis="up", text="490 up"),
            Reading(at=3 + 489.5j, axis="up", text="489.5 up"),
        ),
        lengths=(
            Length(a=back, b=complex(10.0, back.imag), text="55 clear"),
            Length(a=full, b=complex(full.real, 0.0), text="251 above floor"),
        ),
        panels=(
            Panel(
                name="Piston stroke",
                unit="mm",
                series=(Series(name="both pistons", travel=travel, values=stroke),),
                walls=(Wall(value=30.5, text="cylinder at its end, 30.5"),),
                spots=(
                    Spot(travel=150, value=float(stroke[-1]), text=f"{stroke[-1]:.1f}"),
                ),
                bands=(
                    Band(
                        start=150,
                        stop=150,
                        low=26.8,
                        high=27.2,
                        text="wanted 26.8 to 27.2 at full",
                    ),
                ),
            ),
            Panel(
                name="Ratio",
                unit="",
                series=(Series(name="ratio", travel=travel, values=ratio),),
                spots=(
                    Spot(travel=48, value=5.31, text="lowest 5.31 at 48"),
                    Spot(travel=150, value=float(ratio[-1]), text=f"{ratio[-1]:.2f}"),
                ),
                bands=(
                    Band(
                        start=0,
                        stop=70,
                        low=5.25,
                        high=5.45,
                        text="wanted 5.25 to 5.45",
                    ),
                ),
            ),
            Panel(
                name="Rod leans",
                unit="deg",
                series=(Series(name="rod", travel=travel, values=angle),),
                bands=(
                    Band(start=0, stop=120, low=-1.5, high=1.5, text="1.5 at most"),
                ),
            ),
        ),
        guesses=2,
    )


def floor_scene() -> Scene:
    """A floor pedal that drives a cylinder through a link and a bell crank."""
    pivot, pad, hole = -60 + 70j, -105 + 290j, -78 + 140j
    crank, into, out = 140 + 60j, 140 + 135j, 190 + 60j
    link = abs(into - hole)
    axis = 1j * cmath.rect(1.0, math.radians(-8.0))
    seat = out + 90 * axis * cmath.rect(1.0, 0.03)
    rod = abs(seat - out)
    travel, sign = 110.0, -1.0
    poses, ends = [], []
    for when, moved in zip(WHEN, (0.0, travel / 2, travel), strict=True):
        angle = sign * moved / abs(pad - pivot)
        here = turn_about(pivot, hole, angle)
        eye = crossing(here, link, crank, abs(into - crank), here + link)
        turned = cmath.phase((eye - crank) / (into - crank))
        far = turn_about(crank, out, -turned)
        eye, far = eye, turn_about(crank, out, turned)
        end = on_axis(far, rod, seat, axis)
        ends.append(end)
        poses.append(
            Pose(
                at=when,
                travel=moved,
                arm=Arm(
                    pivot=pivot,
                    pad=turn_about(pivot, pad, angle),
                    holes={"link": here},
                ),
                links=(
                    Link(kind="rod", points=(here, eye)),
                    Link(kind="rod", points=(far, end)),
                ),
                levers=(Lever(pivot=crank, input=eye, output=far),),
            )
        )
    t, ratio, stroke = sweep_numbers(travel, 4.6, 0.8)
    return Scene(
        title="Ferncote special: floor brake",
        stamp=STAMP,
        groups=(
            Group(
                name="brake",
                poses=tuple(poses),
                cylinders=(
                    Cylinder(
                        axis=-axis,
                        face=seat - 14 * axis * -1,
                        seat=seat,
                        end=seat - 28 * axis,
                        full=ends[-1],
                        bore=19.05,
                        pull=True,
                        text=("brake cylinder, 3/4 in (19.05)", "pulled"),
                    ),
                ),
                arc=tuple(arc_of(pivot, pad, travel, sign)),
                ticks=ticks_of(pivot, pad, travel, sign),
                names=(
                    Named(at=pivot, text=("pivot",)),
                    Named(at=hole, text=("link hole",)),
                    Named(at=crank, text=("bell crank",)),
                    Named(at=into, text=("input",)),
                    Named(at=out, text=("output",)),
                ),
            ),
        ),
        back=Datum(place=0.0, text="string at the cross tube"),
        up=Datum(place=0.0, text="floor, carpet up"),
        floor=(-300 + 0j, 300 + 12j),
        readings=(
            Reading(at=pivot, axis="back", text="60 back"),
            Reading(at=pad, axis="back", text="105 back"),
            Reading(at=hole, axis="back", text="78 back"),
            Reading(at=crank, axis="back", text="140 ahead"),
            Reading(at=pivot, axis="up", text="70 up"),
            Reading(at=pad, axis="up", text="290 up"),
            Reading(at=hole, axis="up", text="140 up"),
            Reading(at=crank, axis="up", text="60 up"),
        ),
        lengths=(Length(a=hole, b=into, text="link 218.1", beside=6.0),),
        panels=(
            Panel(
                name="Piston stroke",
                unit="mm",
                series=(Series(name="stroke", travel=t, values=stroke),),
                walls=(Wall(value=28.0, text="cylinder at its end, 28.0"),),
            ),
            Panel(
                name="Ratio",
                unit="",
                series=(Series(name="ratio", travel=t, values=ratio),),
                bands=(Band(start=0, stop=110, low=4.0, high=None, text="4 at least"),),
            ),
            Panel(
                name="Angles at the holes",
                unit="deg",
                series=(
                    Series(name="link hole", travel=t, values=95 - t / 9),
                    Series(name="bell crank, input", travel=t, values=80 + t / 7),
                    Series(name="bell crank, output", travel=t, values=92 - t / 12),
                ),
                bands=(
                    Band(start=0, stop=110, low=70.0, high=110.0, text="70 to 110"),
                ),
            ),
        ),
        guesses=0,
    )


def throttle_scene(*, quadrant: bool = False, name: str = "throttle") -> Scene:
    """A hanging throttle on a cable, its far end measured on itself."""
    pivot, pad, nipple = -30 + 400j, -80 + 190j, -8 + 452j
    ferrule = 95 + 445j
    travel, sign = 60.0, 1.0
    poses, far_poses = [], []
    own, radius = 0j, 32.0
    rim = radius * cmath.rect(1.0, math.radians(150.0))
    end_ferrule = -120 + 20j if not quadrant else -90 + 32j
    for when, moved in zip(WHEN, (0.0, travel / 2, travel), strict=True):
        angle = sign * moved / abs(pad - pivot)
        here = turn_about(pivot, nipple, angle)
        poses.append(
            Pose(
                at=when,
                travel=moved,
                arm=Arm(
                    pivot=pivot,
                    pad=turn_about(pivot, pad, angle),
                    holes={"nipple": here},
                ),
                links=(Link(kind="cable", points=(here, ferrule)),),
            )
        )
        turned = turn_about(own, rim, moved / 50.0)
        cable = Link(kind="cable", points=(end_ferrule, turned))
        if quadrant:
            wrap = Link(kind="cable", points=(end_ferrule, complex(0.0, radius)))
            far_poses.append(
                Pose(
                    at=when,
                    travel=moved,
                    links=(wrap,),
                    quadrants=(Quadrant(pivot=own, radius=radius, mark=turned),),
                )
            )
        else:
            far_poses.append(
                Pose(
                    at=when,
                    travel=moved,
                    links=(cable,),
                    levers=(Lever(pivot=own, input=turned),),
                )
            )
    t = np.linspace(0.0, travel, 41)
    pull = np.maximum(t / 4.1 - 1.5, 0.0)
    ratio = np.where(t < 6.2, np.nan, 4.1 + 0.002 * t)
    return Scene(
        title=f"Saltmarsh sprinter: {name}",
        stamp=STAMP,
        groups=(
            Group(
                name="throttle",
                poses=tuple(poses),
                ferrules=(
                    Ferrule(
                        at=ferrule,
                        inner=nipple - ferrule,
                        text=("ferrule", "in the bulkhead"),
                    ),
                ),
                arc=tuple(arc_of(pivot, pad, travel, sign)),
                ticks=ticks_of(pivot, pad, travel, sign),
                pad_thick=8.0,
                names=(
                    Named(at=pivot, text=("pivot",)),
                    Named(at=nipple, text=("nipple",)),
                ),
            ),
        ),
        far=(
            Group(
                name="quadrant" if quadrant else "throttle lever",
                poses=tuple(far_poses),
                ferrules=(
                    Ferrule(
                        at=end_ferrule, inner=rim - end_ferrule, text=("end ferrule",)
                    ),
                ),
                names=(Named(at=own, text=("spindle",)),),
            ),
        ),
        back=Datum(place=0.0, text="string at the dash rail"),
        up=Datum(place=0.0, text="bare floor"),
        floor=(-300 + 0j, 100 + 0j),
        bulkhead=(90 + 0j, 108 + 600j),
        readings=(
            Reading(at=pivot, axis="back", text="30 back"),
            Reading(at=pad, axis="back", text="80 back"),
            Reading(at=nipple, axis="back", text="8 back"),
            Reading(at=ferrule, axis="back", text="95 ahead"),
            Reading(at=pivot, axis="up", text="400 up"),
            Reading(at=pad, axis="up", text="190 up"),
            Reading(at=nipple, axis="up", text="452 up"),
            Reading(at=ferrule, axis="up", text="445 up"),
        ),
        panels=(
            Panel(
                name="Cable pull",
                unit="mm",
                series=(Series(name="pull", travel=t, values=pull),),
                spots=(Spot(travel=6.2, value=0.0, text="slack taken up at 6.2"),),
            ),
            Panel(
                name="Ratio",
                unit="",
                series=(Series(name="ratio", travel=t, values=ratio),),
            ),
            Panel(
                name="Lever turn",
                unit="deg",
                series=(Series(name="turn", travel=t, values=np.degrees(pull / 32)),),
                walls=(Wall(value=82.0, text="at its stop, 82"),),
                bands=(
                    Band(
                        start=60,
                        stop=60,
                        low=78.0,
                        high=82.0,
                        text="wanted 78 to 82 at full",
                    ),
                ),
            ),
        ),
        guesses=1,
    )


def quadrant_scene() -> Scene:
    return throttle_scene(quadrant=True)


def clutter_scene() -> Scene:
    """Three hanging pedals on one sheet, side by side."""
    whole = hanging_scene(title="Quillet two-seater: all pedals")
    groups = (
        *whole.groups,
        hanging_group(name="clutch", shift=-6 + 18j, travel=140.0),
        hanging_group(name="throttle", shift=22 - 14j, travel=70.0),
    )
    t, ratio, stroke = sweep_numbers(150.0, 5.31, 0.5)
    return replace(
        whole,
        groups=(),
        readings=(),
        lengths=(),
        apart=tuple(replace(whole, groups=(group,), panels=()) for group in groups),
        panels=(
            Panel(
                name="Piston stroke",
                unit="mm",
                series=tuple(
                    Series(name=name, travel=t, values=k * stroke)
                    for name, k in (("brake", 1.0), ("clutch", 1.1), ("throttle", 0.6))
                ),
                walls=(Wall(value=30.5, text="brake cylinder at its end, 30.5"),),
            ),
            Panel(
                name="Ratio",
                unit="",
                series=tuple(
                    Series(name=name, travel=t, values=ratio + k)
                    for name, k in (
                        ("brake", 0.0),
                        ("clutch", -0.4),
                        ("throttle", 0.05),
                    )
                ),
            ),
        ),
    )


def left_scene() -> Scene:
    return hanging_scene(door_left=True)


SCENES = {
    "hanging": hanging_scene,
    "left door": left_scene,
    "floor": floor_scene,
    "throttle": throttle_scene,
    "quadrant": quadrant_scene,
    "three": clutter_scene,
}


BLANKS = (
    Blank(number=1, label="pivot, back", hint="level, from the string to mid shaft"),
    Blank(number=2, label="pivot, up", hint="plumb, from the bare floor to mid shaft"),
    Blank(number=3, label="pad, back", hint="to the middle of the face"),
    Blank(number=4, label="pad, up", hint="to the middle of the face"),
    Blank(number=5, label="hole, along", hint="on a string from pivot to pad"),
    Blank(number=6, label="hole, off the string", hint="square off it, forward"),
    Blank(number=7, label="cylinder face, ahead", hint="from the string, on its axis"),
    Blank(number=8, label="cylinder face, up", hint="to the middle of the bore"),
    Blank(number=9, label="depth", hint="from the face to the bottom of the rod's cup"),
)


def card_scene() -> Scene:
    """The hanging brake with numbers in place of readings."""
    whole = hanging_scene(title="Hanging brake")
    line = (PAD - PIVOT) / abs(PAD - PIVOT)
    foot = PIVOT + line * ((BAR - PIVOT) * line.conjugate()).real
    face = 3 + 489.5j
    return replace(
        whole,
        readings=(
            Reading(at=PIVOT, axis="back", text="(1)"),
            Reading(at=PIVOT, axis="up", text="(2)"),
            Reading(at=PAD, axis="back", text="(3)"),
            Reading(at=PAD, axis="up", text="(4)"),
            Reading(at=face, axis="back", text="(7)"),
            Reading(at=face, axis="up", text="(8)"),
        ),
        lengths=(
            Length(a=PIVOT, b=foot, text="(5)", beside=-8.0),
            Length(a=foot, b=BAR, text="(6)"),
            Length(a=face, b=face + 11, text="(9)", beside=-9.0),
        ),
        groups=(
            replace(
                whole.groups[0],
                names=(
                    Named(at=PIVOT, text=("pivot",)),
                    Named(at=PAD, text=("pad, face",)),
                    Named(at=BAR, text=("hole",)),
                ),
                cylinders=(
                    replace(whole.groups[0].cylinders[0], text=("cylinder", "face")),
                ),
            ),
        ),
    )
