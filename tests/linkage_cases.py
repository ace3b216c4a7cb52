"""Published mechanisms as data: source, how it was seen, and the digits.

``printed`` is what the book shows, good to half a unit of its last digit; ``sharp`` is
the same recomputed from the book's formulas to ten digits, apart from this project.
FROM MEMORY: the source was not opened again for this file.
"""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class FourBarCase:
    """Angles in degrees, from the ground line; lengths as the book has them."""

    id: str
    source: str
    a: float
    b: float
    c: float
    d: float
    theta2: float
    side: float
    coupler: float
    rocker: float
    coupler_printed: tuple[float, float]
    rocker_printed: tuple[float, float]


NORTON_41 = "Norton, Design of Machinery, Example 4-1 (FROM MEMORY)"
NORTON_47A = "Norton, Design of Machinery, problem 4-6/4-7 row a (FROM MEMORY)"

# printed: (value, half a unit of the last digit); a whole unit where the book cuts off.
FOUR_BARS = (
    FourBarCase(
        id="4-1 open",
        source=NORTON_41,
        a=40.0,
        b=120.0,
        c=80.0,
        d=100.0,
        theta2=40.0,
        side=1.0,
        coupler=20.2978827882,
        rocker=57.3248800704,
        coupler_printed=(20.30, 0.005),
        rocker_printed=(57.33, 0.01),
    ),
    FourBarCase(
        id="4-1 crossed",
        source=NORTON_41,
        a=40.0,
        b=120.0,
        c=80.0,
        d=100.0,
        theta2=40.0,
        side=-1.0,
        coupler=-60.9779667959,
        rocker=-98.0049640780,
        coupler_printed=(-60.98, 0.005),
        rocker_printed=(-98.01, 0.01),
    ),
    FourBarCase(
        id="4-7a open",
        source=NORTON_47A,
        a=2.0,
        b=7.0,
        c=9.0,
        d=6.0,
        theta2=30.0,
        side=1.0,
        coupler=88.8372413003,
        rocker=117.2860678604,
        coupler_printed=(88.8, 0.05),
        rocker_printed=(117.3, 0.05),
    ),
    FourBarCase(
        id="4-7a crossed",
        source=NORTON_47A + ", the book cuts the digits off",
        a=2.0,
        b=7.0,
        c=9.0,
        d=6.0,
        theta2=30.0,
        side=-1.0,
        coupler=-115.2108121643,
        rocker=-143.6596387244,
        coupler_printed=(-115.2, 0.1),
        rocker_printed=(-143.6, 0.1),
    ),
)


@dataclass(frozen=True, kw_only=True)
class TransmissionCase:
    """Least and greatest transmission angle over a whole turn, degrees."""

    id: str
    source: str
    a: float
    b: float
    c: float
    d: float
    least: float
    most: float


LAW = "cos mu = (b^2 + c^2 - (d -+ a)^2) / 2bc, any mechanisms text; recomputed"

TRANSMISSIONS = (
    TransmissionCase(
        id="2-7-9-6",
        source=LAW,
        a=2.0,
        b=7.0,
        c=9.0,
        d=6.0,
        least=25.2087652968,
        most=58.4118644948,
    ),
    TransmissionCase(
        id="40-120-80-100",
        source=LAW,
        a=40.0,
        b=120.0,
        c=80.0,
        d=100.0,
        least=26.3843297494,
        most=86.4166783015,
    ),
)


@dataclass(frozen=True, kw_only=True)
class SliderCase:
    """Offset slider-crank; coupler angle from the slider's hole, as the book draws it.

    ``coupler_rate`` and ``slide_rate`` at a crank speed of ``omega`` (rad/s).
    """

    id: str
    source: str
    a: float
    b: float
    offset: float
    theta2: float
    side: float
    coupler: float
    along: float
    printed: tuple[float, float]
    omega: float
    coupler_rate: float
    slide_rate: float


NORTON_42 = "Norton, Design of Machinery, Example 4-2 (FROM MEMORY)"

SLIDERS = (
    SliderCase(
        id="4-2 open",
        source=NORTON_42,
        a=40.0,
        b=120.0,
        offset=-20.0,
        theta2=60.0,
        side=1.0,
        coupler=152.9130715215,
        along=126.8380051945,
        printed=(152.91, 126.84),
        omega=-30.0,
        coupler_rate=5.6159790601,
        slide_rate=1346.0932870725,
    ),
    SliderCase(
        id="4-2 crossed",
        source=NORTON_42,
        a=40.0,
        b=120.0,
        offset=-20.0,
        theta2=60.0,
        side=-1.0,
        coupler=27.0869284785,
        along=-86.8380051945,
        printed=(27.09, -86.84),
        omega=-30.0,
        coupler_rate=-5.6159790601,
        slide_rate=732.3676820102,
    ),
)


@dataclass(frozen=True, kw_only=True)
class PistonCase:
    """Where an in-line piston is fastest: l / r, crank degrees, speed / (r omega)."""

    ratio: float
    angle: float
    speed: float
    rule_of_thumb: float


PISTON_SOURCE = "any machine-design text: about 77 degrees for l/r = 4; recomputed"
PISTONS = (
    PistonCase(
        ratio=3.0, angle=73.1752966362, speed=1.05463954654, rule_of_thumb=71.57
    ),
    PistonCase(
        ratio=4.0, angle=76.7209779186, speed=1.03088269851, rule_of_thumb=75.96
    ),
    PistonCase(
        ratio=5.0, angle=79.1001352992, speed=1.01983308009, rule_of_thumb=78.69
    ),
)


@dataclass(frozen=True, kw_only=True)
class FreudensteinCase:
    """Three precision points (degrees) and what they lead to with d = 1."""

    id: str
    source: str
    phi: tuple[float, float, float]
    psi: tuple[float, float, float]
    k: tuple[float, float, float]
    a: float
    b: float
    c: float


FREUDENSTEIN = (
    FreudensteinCase(
        id="sine",
        source="Hartenberg & Denavit, y = sin x generator, data FROM MEMORY; the "
        "constants recomputed",
        phi=(105.0384757729, 157.0, 208.9615242271),
        psi=(66.3017602590, 102.4264068712, 119.6681474292),
        k=(1.8029608490, 1.3800183799, -0.3026859009),
        a=0.5546432140,
        b=1.4408399874,
        c=0.7246280300,
    ),
    FreudensteinCase(
        id="small angles",
        source="CONSTRUCTED: own numbers in Freudenstein's equation",
        phi=(20.0, 35.0, 50.0),
        psi=(35.0, 45.0, 60.0),
        k=(0.6399151962, 0.7514597647, 1.1478791808),
        a=1.5627070679,
        b=0.6623891676,
        c=1.3307432374,
    ),
)
