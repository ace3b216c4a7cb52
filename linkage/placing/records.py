"""What `place` hands back: frozen records."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, Literal

from msgspec import Struct, field

from linkage.design.frees import Group
from linkage.design.records import Design
from linkage.placing.judge import Judged
from linkage.placing.wishes import Wish

Status = Literal["placed", "conflict", "no answer found"]
NOTHING: Mapping[str, Any] = MappingProxyType({})
Bound = Literal["is", "least", "most"]


class Touched(Struct, frozen=True, kw_only=True):
    """A range end or a limit that an answer lies on: ``pivot.x`` at its "low" end."""

    path: str
    end: Literal["low", "high", "limit"]


class Answer(Struct, frozen=True, kw_only=True):
    """The best layout of one family, as it would be written.

    Attributes
    ----------
    values : mapping of str to float
        Free values and choices among numbers, by path, internal units, rounded.
    names : mapping of str to str
        Choices of names, by path.
    exact : mapping of str to float
        The same as ``values`` before rounding.
    judged : tuple of Judged
        Every target on the file as written.
    exactly : tuple of Judged
        Every target before rounding.
    free_directions : int
    touched : tuple of Touched
    moves : float
        Sum of squares of move / range width from ``near``.
    text : str
        The file as written.
    lines : tuple of int
        The lines that were filled in.
    """

    values: Mapping[str, float]
    names: Mapping[str, str]
    exact: Mapping[str, float]
    judged: tuple[Judged, ...]
    exactly: tuple[Judged, ...]
    free_directions: int
    touched: tuple[Touched, ...]
    moves: float
    text: str
    lines: tuple[int, ...]

    @property
    def margin(self) -> float:
        """Return the least distance to unmet, in units of ``within``."""
        return min((each.margin for each in self.judged), default=float("inf"))


class Clash(Struct, frozen=True, kw_only=True):
    """One member of a set of targets that cannot all be had.

    Attributes
    ----------
    missed_by : float
        From what was wanted to what it got, at the layout whose worst miss is least;
        internal units.
    would_do : float or None
        The nearest value with which the set, the others kept, is met.
    bound : str
        Which number of the target that value stands for.
    """

    wish: Wish
    missed_by: float
    would_do: float | None
    bound: Bound


class Give(Struct, frozen=True, kw_only=True):
    """Something fixed that could give way instead, all targets kept.

    ``path`` as in the file, with the pedal's name in front; mm or rad.
    """

    path: str
    now: float
    would_do: float


class Conflict(Struct, frozen=True, kw_only=True):
    """An irreducible set of targets, in file order.

    Attributes
    ----------
    proof : str
        A sentence that proves it, "" where it rests on the search alone.
    """

    clashes: tuple[Clash, ...]
    gives: tuple[Give, ...] = ()
    proof: str = ""


class Placement(Struct, frozen=True, kw_only=True):
    """What `place` found for one group of pedals.

    Attributes
    ----------
    design : Design
    group : Group
        What was placed.
    status : str
    answers : tuple of Answer
        One a family, best first; empty unless placed.
    conflicts : tuple of Conflict
        The first is the one that is told first.
    gives : tuple of Give
        What would do instead where the bare linkage cannot make its travel.
    why : str
        Why no answer was found, where none was and no targets fight.
    leeway : mapping of str to (float, float)
        Of the best answer: how far each free value can go, the others following.
    mark : float or None
        The step to which lengths were rounded, mm.
    seed : int
    """

    design: Design
    group: Group
    status: Status
    answers: tuple[Answer, ...] = ()
    conflicts: tuple[Conflict, ...] = ()
    gives: tuple[Give, ...] = ()
    why: str = ""
    leeway: Mapping[str, tuple[float, float]] = field(default_factory=lambda: NOTHING)
    mark: float | None = None
    seed: int = 0
