"""The limits that a file may set anew, and what each measures.

What they are about, and where their numbers come from, knows `linkage.limits`.
"""

from collections.abc import Mapping
from types import MappingProxyType

from linkage.units import Measure

LIMITS: Mapping[str, Measure] = MappingProxyType(
    {
        "effort": Measure.FORCE,
        "boosted effort": Measure.FORCE,
        "booster-dead effort": Measure.FORCE,
        "lost-circuit effort": Measure.FORCE,
        "hard-stop travel": Measure.LENGTH,
        "pad left": Measure.LENGTH,
        "travel used": Measure.PERCENT,
        "stroke used": Measure.PERCENT,
        "lost-circuit pad left": Measure.LENGTH,
        "hard-stop bar tilt": Measure.ANGLE,
        "bar tilt": Measure.ANGLE,
        "bar shift": Measure.PERCENT,
        "stroke out of reach": Measure.LENGTH,
        "hard-stop rod angle": Measure.ANGLE,
        "rod angle": Measure.ANGLE,
        "crank angle": Measure.ANGLE,
        "past square": Measure.ANGLE,
        "ratio change": Measure.PERCENT,
        "rod gap": Measure.LENGTH,
        "booster gap": Measure.LENGTH,
        "lock order": Measure.PERCENT,
        "road used": Measure.PURE,
        "wheels locked": Measure.PURE,
        "residual on discs": Measure.PRESSURE,
        "cable beyond need": Measure.PERCENT,
        "cable left at stop": Measure.LENGTH,
        "spring margin": Measure.PURE,
        "return time": Measure.TIME,
        "pad gap": Measure.LENGTH,
        "pad step": Measure.LENGTH,
        "clearance": Measure.LENGTH,
        "bulkhead at full": Measure.LENGTH,
        "hip to pad": Measure.LENGTH,
        "edge distance": Measure.PURE,
    }
)
