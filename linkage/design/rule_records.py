"""Which rules a design is checked by: the set, and what the file sets anew."""

from collections.abc import Mapping
from typing import Literal

from msgspec import Struct

from linkage.design.values import Value

SetName = Literal["road", "student"]
SETS: tuple[SetName, ...] = ("road", "student")
#: The ends of a band, from below; each no greater than the next.
ENDS = ("fail_under", "least", "most", "fail_over")


class Anew(Struct, frozen=True, kw_only=True):
    """One limit that the file sets anew: ``[[rules.limit]]``.

    Attributes
    ----------
    of : str
        Which limit.
    ends : mapping of str to Value
        Those of `ENDS` that are given.
    reason : str
        Why; never empty.
    """

    of: str
    ends: Mapping[str, Value]
    reason: str
    line: int = 0


class Rules(Struct, frozen=True, kw_only=True):
    """``[rules]``."""

    set: SetName = "road"
    anew: tuple[Anew, ...] = ()
    line: int = 0
