"""The trade's units, exact, and numbers as people write and read them.

Inside: mm, rad, N, MPa, kg, s and what follows from them (N mm, mm3, mm/s ...);
per cent stays per cent and degrees Celsius stay so. Factors are exact fractions
wherever the unit is defined so (NIST Special Publication 811, appendix B); only
angles carry pi. This module knows no key and no pedal.
"""

import math
import re
from enum import Enum
from fractions import Fraction

from msgspec import Struct


class Measure(Enum):
    """What a number measures."""

    LENGTH = "length"
    ANGLE = "angle"
    PURE = "pure number"
    PERCENT = "percent"
    FORCE = "force"
    PRESSURE = "pressure"
    MASS = "mass"
    AREA = "area"
    VOLUME = "volume"
    RATE = "spring rate"
    TORQUE = "torque"
    TURN_RATE = "torque per turn"
    TIME = "time"
    SPEED = "speed"
    ACCELERATION = "acceleration"
    SWELL = "volume per length"
    YIELD = "volume per pressure"
    DENSITY = "density"
    TEMPERATURE = "temperature"


class Unit(Struct, frozen=True, eq=False):
    """One unit: ``number * factor`` is the internal value.

    Attributes
    ----------
    name : str
        As this program writes it.
    measure : Measure
    factor : Fraction or float
        Float only where pi is in it.
    spellings : tuple of str
        Other ways to write it.
    """

    name: str
    measure: Measure
    factor: Fraction | float
    spellings: tuple[str, ...] = ()


INCH = Fraction("25.4")
POUND = Fraction("0.45359237")
#: Standard gravity, m/s2 (NIST SP 811).
GRAVITY = Fraction("9.80665")
#: The standard atmosphere, MPa (ISO 2533).
ATMOSPHERE = Fraction("0.101325")
POUND_FORCE = POUND * GRAVITY
PSI = POUND_FORCE / INCH**2
#: Conventional inch of mercury: 13 595.1 kg/m3, standard gravity.
INCH_OF_MERCURY = Fraction("13.5951") * GRAVITY * INCH / 10**6

UNITS: tuple[Unit, ...] = (
    Unit(
        "mm",
        Measure.LENGTH,
        Fraction(1),
        ("millimetre", "millimetres", "millimeter", "millimeters"),
    ),
    Unit(
        "cm",
        Measure.LENGTH,
        Fraction(10),
        ("centimetre", "centimetres", "centimeter", "centimeters"),
    ),
    Unit("m", Measure.LENGTH, Fraction(1000), ("metre", "metres", "meter", "meters")),
    Unit("in", Measure.LENGTH, INCH, ('"', "inch", "inches", "''")),
    Unit("ft", Measure.LENGTH, INCH * 12, ("'", "foot", "feet")),
    Unit("deg", Measure.ANGLE, math.pi / 180, ("°", "degree", "degrees")),
    Unit("%", Measure.PERCENT, Fraction(1), ("per cent", "percent")),
    Unit("N", Measure.FORCE, Fraction(1)),
    Unit("kN", Measure.FORCE, Fraction(1000)),
    Unit("kgf", Measure.FORCE, GRAVITY),
    Unit("lbf", Measure.FORCE, POUND_FORCE),
    Unit("Pa", Measure.PRESSURE, Fraction(1, 10**6)),
    Unit("kPa", Measure.PRESSURE, Fraction(1, 1000)),
    Unit("MPa", Measure.PRESSURE, Fraction(1), ("N/mm2",)),
    Unit("GPa", Measure.PRESSURE, Fraction(1000)),
    Unit("bar", Measure.PRESSURE, Fraction(1, 10)),
    Unit("psi", Measure.PRESSURE, PSI, ("lbf/in2",)),
    Unit("inHg", Measure.PRESSURE, INCH_OF_MERCURY),
    Unit("mm2", Measure.AREA, Fraction(1)),
    Unit("mm3", Measure.VOLUME, Fraction(1)),
    Unit("cm3", Measure.VOLUME, Fraction(1000)),
    Unit("cc", Measure.VOLUME, Fraction(1000)),
    Unit("in3", Measure.VOLUME, INCH**3),
    Unit("kg", Measure.MASS, Fraction(1)),
    Unit("g", Measure.MASS, Fraction(1, 1000)),
    Unit("lb", Measure.MASS, POUND, ("lbs", "lbm")),
    Unit("N/mm", Measure.RATE, Fraction(1)),
    Unit("lbf/in", Measure.RATE, POUND_FORCE / INCH),
    Unit("N mm", Measure.TORQUE, Fraction(1), ("Nmm",)),
    Unit("N m", Measure.TORQUE, Fraction(1000), ("Nm",)),
    Unit("lbf ft", Measure.TORQUE, POUND_FORCE * INCH * 12, ("ft lbf",)),
    Unit("lbf in", Measure.TORQUE, POUND_FORCE * INCH, ("in lbf",)),
    Unit("N m/deg", Measure.TURN_RATE, 1000 * 180 / math.pi, ("Nm/deg",)),
    Unit("s", Measure.TIME, Fraction(1), ("sec", "second", "seconds")),
    Unit("ms", Measure.TIME, Fraction(1, 1000)),
    Unit("km/h", Measure.SPEED, Fraction(10**6, 3600)),
    Unit("mph", Measure.SPEED, INCH * 63360 / 3600),
    Unit("m/s", Measure.SPEED, Fraction(1000)),
    Unit("m/s2", Measure.ACCELERATION, Fraction(1000)),
    Unit("g0", Measure.ACCELERATION, GRAVITY * 1000),
    Unit("cc/m", Measure.SWELL, Fraction(1)),
    Unit("cc/ft", Measure.SWELL, 1000 / (INCH * 12)),
    Unit("cc/MPa", Measure.YIELD, Fraction(1000)),
    Unit("kg/m3", Measure.DENSITY, Fraction(1, 10**9)),
    Unit("°C", Measure.TEMPERATURE, Fraction(1), ("C", "deg C")),
)
BY_NAME = {unit.name: unit for unit in UNITS}
_EXACT = BY_NAME | {word: unit for unit in UNITS for word in unit.spellings}
_ANY_CASE = {word.lower(): unit for word, unit in _EXACT.items()}
_PLAIN = str.maketrans(
    {
        "”": '"',
        "“": '"',
        "″": '"',
        "’": "'",
        "‘": "'",
        "′": "'",
        "º": "°",
        "²": "2",
        "³": "3",
        "·": " ",
        "−": "-",
        "–": "-",
        "—": "-",
        "\u2010": "-",
        "\u2011": "-",
        "⁄": "/",
        "\u00a0": " ",
        "\u2009": " ",
        "\u202f": " ",
    }
)
_FRACTIONS = {
    "½": "1/2",
    "⅓": "1/3",
    "⅔": "2/3",
    "¼": "1/4",
    "¾": "3/4",
    "⅕": "1/5",
    "⅖": "2/5",
    "⅗": "3/5",
    "⅘": "4/5",
    "⅙": "1/6",
    "⅚": "5/6",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
}
_FRACTION = re.compile(rf"(?:(\d)\s*)?([{''.join(_FRACTIONS)}])")


def plain(text: str) -> str:
    """Return ``text`` in plain signs: ¾ as 3/4, long minus as -, curly quotes straight.

    >>> plain("−1¾”")
    '-1 3/4"'
    """
    if text.isascii():
        return text
    text = _FRACTION.sub(
        lambda found: (
            f"{found[1] or ''}{' ' if found[1] else ''}{_FRACTIONS[found[2]]}"
        ),
        text,
    )
    return text.translate(_PLAIN)


def find_unit(word: str) -> Unit | None:
    """Return the unit that ``word`` spells, None for an unknown one."""
    word = " ".join(plain(word).split())
    return _EXACT.get(word) or _ANY_CASE.get(word.lower())


def units_of(measure: Measure) -> tuple[str, ...]:
    """Return the names of the units of a measure, the usual first."""
    return tuple(unit.name for unit in UNITS if unit.measure is measure)


def into(number: Fraction, unit: Unit | None) -> float:
    """Return the internal value of ``number`` units, rounded once."""
    if unit is None:
        return float(number)
    if isinstance(unit.factor, Fraction):
        return float(number * unit.factor)
    return float(number) * unit.factor


def out_of(value: float, name: str) -> float:
    """Return an internal value in the unit ``name`` ("" or "1" for pure numbers)."""
    unit = BY_NAME.get(name)
    if unit is None:
        return value
    if isinstance(unit.factor, Fraction):
        return float(Fraction(value) / unit.factor) if math.isfinite(value) else value
    return value / unit.factor


def trim(number: float, digits: int) -> str:
    """Return a number with up to ``digits`` decimals, no idle zeros, no minus zero.

    >>> trim(11.50, 2), trim(-0.001, 2), trim(300.0, 0)
    ('11.5', '0', '300')
    """
    text = f"{number:.{digits}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def say(value: float, name: str, digits: int) -> str:
    """Return an internal value with its unit: "120.5 mm", "9 deg", "5 %"."""
    number = trim(out_of(value, name), digits)
    return number if name in ("", "1") else f"{number} {name}"


def inches(length: float, finest: int = 32) -> str:
    """Return a length in mm as inches for a tape, to the nearest ``1/finest``.

    >>> inches(301), inches(130), inches(-25.4 / 4), inches(254, 16)
    ('11 27/32 in', '5 1/8 in', '-1/4 in', '10 in')
    """
    steps = round(abs(length) / 25.4 * finest)
    whole, rest = divmod(steps, finest)
    part = Fraction(rest, finest)
    words = [str(whole)] if whole or not rest else []
    words += [f"{part.numerator}/{part.denominator}"] if rest else []
    sign = "-" if length < 0 and steps else ""
    return f"{sign}{' '.join(words)} in"


def both(length: float, digits: int = 1) -> tuple[str, str]:
    """Return a length for a page: millimetres and tape inches.

    >>> both(245.04)
    ('245', '9 21/32 in')
    """
    return trim(length, digits), inches(length)
