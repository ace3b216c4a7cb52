"""The quantities that a target may name, and what each measures."""

from collections.abc import Mapping
from types import MappingProxyType

from linkage.units import Measure

NAMES: Mapping[str, Measure] = MappingProxyType(
    {
        "stroke": Measure.LENGTH,
        "ratio": Measure.PURE,
        "mean ratio": Measure.PURE,
        "ratio change": Measure.PERCENT,
        "rod angle": Measure.ANGLE,
        "crank angle": Measure.ANGLE,
        "transmission angle": Measure.ANGLE,
        "lever turn": Measure.ANGLE,
        "cable pull": Measure.LENGTH,
        "distance": Measure.LENGTH,
        "angle": Measure.ANGLE,
        "clearance": Measure.LENGTH,
        "pad height": Measure.LENGTH,
        "foot force": Measure.FORCE,
        "pressure": Measure.PRESSURE,
        "deceleration": Measure.ACCELERATION,
        "pad travel": Measure.LENGTH,
    }
)
#: Those that a pressed brake has; they are told at one place or in one state.
LOADED = ("foot force", "pressure", "deceleration", "pad travel")
#: How many points ``between`` names, for the quantities that take it.
BETWEEN: Mapping[str, int] = MappingProxyType({"distance": 2, "angle": 3})
#: What ``within`` is where the file does not say, in the unit that people read.
WITHIN: Mapping[Measure, str] = MappingProxyType(
    {
        Measure.LENGTH: "0.5 mm",
        Measure.PURE: "0.05",
        Measure.ANGLE: "0.5 deg",
        Measure.PERCENT: "0.5 %",
        Measure.FORCE: "5 N",
        Measure.PRESSURE: "0.1 MPa",
        Measure.ACCELERATION: "0.02 g0",
    }
)
