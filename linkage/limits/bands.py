"""A limit: a band that is ok inside a band that may be borne, with its source.

Numbers are internal (mm, rad, N, MPa, s; per cent as it is); both ends of both bands
belong to them. What the limit is about is not known here.
"""

import math
from typing import Literal

from msgspec import Struct

Verdict = Literal["ok", "caution", "fail", "not checked"]
#: What kind of thing says so.
Kind = Literal[
    "regulation", "rules", "read", "own sums", "from memory", "common practice", "own"
]
#: Rounding in the last digit crosses no limit: of the limit, and of nothing.
GRACE = 1e-9


class Limit(Struct, frozen=True, kw_only=True):
    """One limit.

    Attributes
    ----------
    name : str
        One of `linkage.design.limit_names.LIMITS`, or what a target is of.
    least, most : float
        Ends of what is ok.
    fail_under, fail_over : float
        Ends of what may be borne; beyond them it fails.
    kind, source : str
        Who says so, and how well that is known.
    reason : str
        Why the file sets it anew; else empty.
    """

    name: str
    least: float = -math.inf
    most: float = math.inf
    fail_under: float = -math.inf
    fail_over: float = math.inf
    kind: Kind
    source: str
    reason: str = ""

    def verdict(self, value: float) -> Verdict:
        """Judge one value."""
        if _outside(value, self.fail_under, self.fail_over):
            return "fail"
        return "caution" if _outside(value, self.least, self.most) else "ok"

    def nearest_ok(self, value: float) -> float:
        """Return the ok value that is nearest."""
        return min(max(value, self.least), self.most)


def _outside(value: float, low: float, high: float) -> bool:
    return value < low - _grace(low) or value > high + _grace(high)


def _grace(end: float) -> float:
    return GRACE * max(1.0, abs(end)) if math.isfinite(end) else 0.0
