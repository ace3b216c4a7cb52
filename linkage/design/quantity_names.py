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
    }
)
#: How many points ``between`` names, for the quantities that take it.
BETWEEN: Mapping[str, int] = MappingProxyType({"distance": 2, "angle": 3})
#: What ``within`` is where the file does not say, in the unit that people read.
WITHIN: Mapping[Measure, str] = MappingProxyType(
    {
        Measure.LENGTH: "0.5 mm",
        Measure.PURE: "0.05",
        Measure.ANGLE: "0.5 deg",
        Measure.PERCENT: "0.5 %",
    }
)
