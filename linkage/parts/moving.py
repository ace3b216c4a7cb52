"""What parts hand to each other while they move.

A *body* turns about a fixed pivot; a *step* is what one part of the train does.
Everything broadcasts over layouts x positions and may carry derivatives.
"""

from collections.abc import Callable
from typing import Any, Literal, Protocol

import numpy as np
from msgspec import Struct

from solvers.jet import Jet, Num, Parts, lift, value
from solvers.turning import Turned, rotate


class Body(Struct, frozen=True, eq=False):
    """The arm or a lever, turned from rest.

    Attributes
    ----------
    pivot : number, array or jet, complex
        Fixed.
    gives_spin : callable
        Gives exp(i turn) times ``start``, turn anticlockwise from rest: an array,
        complex, or a Vector or Fan.
    turning : Jet
        The turn from rest, rad.
    known : bool
        True where the turn is known without asking the spin.
    start : complex, ndarray or None
        What the spin is at rest: a vector of any length and direction; None for 1.
    """

    pivot: Num
    gives_spin: Callable[[], Any]
    turning: Jet
    known: bool = True
    start: Any = None

    @property
    def spin(self) -> Any:
        """What turns the vectors that are fixed to the body."""
        return self.gives_spin()

    def carry(self, point: Num) -> Jet:
        """Return where a point of the body is now, given where it was at rest."""
        return lift(self.pivot + self.arm(point))

    def arm(self, point: Num) -> Turned:
        """Return the vector from the pivot to a point of the body."""
        return self.turned(point - self.pivot)

    def turned(self, arm: Num) -> Turned:
        """Return a vector that is fixed to the body, given as it is at rest."""
        if self.start is not None:
            arm = arm / self.start
        return rotate(self.spin, self._parts, arm)

    def _parts(self) -> Parts:
        return self.turning.parts

    def turn(self) -> Jet:
        """Return the turn from rest, rad, anticlockwise positive."""
        return self.turning


class Link(Struct, frozen=True, eq=False):
    """A rod or cable between a driving hole and what it drives.

    Attributes
    ----------
    kind : str
    driver : Body
        Carries the driving hole.
    far : callable
        Where the rod's other end or the cable's ferrule is now, complex.
    corner : callable or None
        Gives the angle at the driving hole between its own pivot and the far end, rad;
        None where a cable leaves a drum.
    driven : callable or None
        Gives the angle at a rod-driven input, between its pivot and the driving hole.
    """

    kind: Literal["rod", "cable"]
    driver: Body
    far: Callable[[], Num]
    corner: Callable[[], Jet] | None = None
    driven: Callable[[], Jet] | None = None


class Margin(Struct, frozen=True, kw_only=True, eq=False):
    """Something that ends the motion where ``room`` falls to 0."""

    kind: Literal["rod short", "locked"]
    room: Callable[[], Any]
    why: str


class Drawn(Struct, frozen=True, kw_only=True, eq=False):
    """A cable being drawn.

    Attributes
    ----------
    link : Link
    pull, taken : Jet
        What its near end draws, and what is left of it after the slack, mm.
    slack : float or ndarray
        mm.
    """

    link: Link
    pull: Jet
    taken: Jet
    slack: Any

    def taut(self) -> Any:
        """Return True where the slack is taken up (none is, from the start)."""
        return (self.taken.v > 0.0) | (self.slack <= 0.0)


class Step(Struct, frozen=True, kw_only=True, eq=False):
    """What one part does.

    Attributes
    ----------
    path, kind : str
        ``brake.train.1``, ``cylinder``.
    link : Link
        What drives it.
    body : Body or None
        A lever or quadrant, for the next part.
    output : complex number, array or jet, or None
        The hole at rest that drives the next part.
    end : callable
        Gives the movement of the rod end, pull of the cable, or turn (positive in the sense in
        which pressing moves the part at rest); mm or rad.
    lean : callable or None
        Gives the angle that turns a cylinder's axis line onto its rod's line, rad.
    drawn : Drawn or None
        The cable that drives the part, or that it is.
    margins : tuple of Margin
        In the order in which they would show.
    """

    path: str
    kind: str
    link: Link
    end: Callable[[], Jet]
    body: Body | None = None
    output: Num | None = None
    lean: Callable[[], Jet] | None = None
    drawn: Drawn | None = None
    margins: tuple[Margin, ...] = ()


class Drive(Struct, frozen=True, eq=False):
    """What drives a part, at rest.

    Attributes
    ----------
    pivot, hole : complex number, array or jet
        Of the driving body.
    rate : float or ndarray
        Its first turn per travel, rad/mm, anticlockwise positive.
    """

    pivot: Num
    hole: Num
    rate: Any

    def velocity(self) -> Any:
        """Return the hole's first movement per travel, complex."""
        return 1j * self.rate * (value(self.hole) - value(self.pivot))


class Unsound(Struct, frozen=True, eq=False):
    """Why a layout cannot stand at rest.

    Attributes
    ----------
    where : bool or ndarray
        True where it cannot.
    key : str
        The key of the part that is to blame.
    say : callable
        Gives (wrong, right) for people; called for a single layout only.
    missing : bool
        True where a rod simply does not reach (a limit, not a slip of the pen).
    """

    where: Any
    key: str
    say: Callable[[], tuple[str, str]]
    missing: bool = False


class Rest(Protocol):
    """A part at rest, in numbers."""

    @property
    def rate(self) -> Any:
        """First turn of a driven body per travel, rad/mm; 0 for an end."""
        ...

    @property
    def unsound(self) -> tuple[Unsound, ...]:
        """What keeps the part from standing at rest."""
        ...

    def follow(self, driver: Body) -> Step:
        """Return what the part does while ``driver`` turns."""
        ...


#: mm; nearer than this two holes are one place.
SAME_PLACE = 1e-6


def sense_of_rate(rate: Any) -> Any:
    """Sign of a first motion, 1 where there is none."""
    return np.where(np.asarray(rate) < 0.0, -1.0, 1.0)


def number(x: Any) -> float:
    """Return the one number of a single layout, for a sentence."""
    return float(np.asarray(value(x)).reshape(-1)[0].real)
