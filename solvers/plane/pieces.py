"""The pieces of a contour: straight lines and arcs, and the bulge that tells them.

Bulge = tan(sweep / 4), positive anticlockwise (DXF Reference, LWPOLYLINE page). Angles
in rad. A straight piece has radius inf, sweep 0 and no centre (nan).
"""

from typing import Any, Self

import numpy as np
from msgspec import Struct
from numpy.typing import ArrayLike, NDArray

Contour = NDArray[np.float64]
Points = NDArray[np.complex128]
Floats = NDArray[np.float64]


class OutlineError(ValueError):
    """No such outline exists; the message says in words what stands against it."""


def bulge_of(sweep: ArrayLike) -> Floats:
    """Bulge of an arc that turns through ``sweep`` (rad, anticlockwise positive)."""
    return np.asarray(np.tan(np.asarray(sweep, dtype=float) / 4.0))


def sweep_of(bulge: ArrayLike) -> Floats:
    """Angle an arc of this bulge turns through, rad, anticlockwise positive."""
    return np.asarray(4.0 * np.arctan(np.asarray(bulge, dtype=float)))


class Pieces(Struct, frozen=True, kw_only=True, eq=False):
    """Pieces of an outline, one per row; all arrays have shape (n,).

    Attributes
    ----------
    start, end : ndarray, complex
        Ends of each piece.
    centre, radius : ndarray
        Of the arc's circle; nan and inf for a straight piece.
    begin, sweep : ndarray
        Direction from the centre to ``start`` and the signed turn to ``end``, rad.
    """

    start: Points
    end: Points
    centre: Points
    radius: Floats
    begin: Floats
    sweep: Floats

    def __len__(self) -> int:
        return len(self.start)

    def take(self, rows: Any) -> Self:
        """Return the pieces picked by an index, slice or mask."""
        return type(self)(
            start=self.start[rows],
            end=self.end[rows],
            centre=self.centre[rows],
            radius=self.radius[rows],
            begin=self.begin[rows],
            sweep=self.sweep[rows],
        )

    @property
    def straight(self) -> NDArray[np.bool_]:
        """Which pieces are straight lines."""
        return np.isinf(self.radius)

    @property
    def length(self) -> Floats:
        """Length along each piece."""
        chord = np.abs(self.end - self.start)
        arc = np.where(self.straight, 0.0, self.radius) * np.abs(self.sweep)
        return np.where(self.straight, chord, arc)

    @property
    def middle(self) -> Points:
        """The point half way along each piece."""
        chord = self.end - self.start
        sagitta = 0.5j * chord * np.tan(self.sweep / 4.0)
        return 0.5 * (self.start + self.end) - sagitta


def points_of(contour: Contour) -> Points:
    """Corner points of a contour, shape (n,)."""
    return contour[:, 0] + 1j * contour[:, 1]


def contour_of(points: Points, bulges: ArrayLike = 0.0) -> Contour:
    """Contour through ``points`` with the bulge of each piece to the next."""
    rows = np.broadcast_to(np.asarray(bulges, dtype=float), points.shape)
    return np.column_stack([points.real, points.imag, rows])


def pieces_of(contour: Contour) -> Pieces:
    """Split a contour into its n pieces; the last one closes it."""
    start = points_of(contour)
    return pieces_between(start, np.roll(start, -1), contour[:, 2])


def pieces_between(start: Points, end: Points, bulge: Floats) -> Pieces:
    """Pieces from ``start`` to ``end``, each with its bulge."""
    bent = bulge != 0.0
    b = np.where(bent, bulge, 1.0)
    chord = end - start
    # By the chord, not by the angle: exact where the arc tangent is not.
    centre = 0.5 * (start + end) + 0.25j * chord * (1.0 - b * b) / b
    radius = np.abs(chord) * (1.0 + b * b) / (4.0 * np.abs(b))
    return Pieces(
        start=start,
        end=end,
        centre=np.where(bent, centre, complex(np.nan, np.nan)),
        radius=np.where(bent, radius, np.inf),
        begin=np.where(bent, np.angle(start - centre), 0.0),
        sweep=sweep_of(bulge),
    )


def circle(centre: complex, radius: float) -> Contour:
    """Full circle as two half turns, anticlockwise."""
    return contour_of(np.array([centre + radius, centre - radius]), 1.0)


def directions(contour: Contour) -> tuple[Points, Points]:
    """Unit tangents where each piece starts and where it ends, shape (n,) each."""
    start = points_of(contour)
    chord = np.roll(start, -1) - start
    along = chord / np.abs(chord)
    # e^(i sweep/2) of an arc, rational in the bulge.
    half = (1.0 + 1j * contour[:, 2]) ** 2 / (1.0 + contour[:, 2] ** 2)
    return along * np.conj(half), along * half


def turns(contour: Contour) -> Floats:
    """Kink at each row, rad: turn from the piece before to the piece after."""
    first, last = directions(contour)
    return np.angle(first * np.conj(np.roll(last, 1)))


def moved(contour: Contour, *, turn: complex = 1.0, shift: complex = 0.0) -> Contour:
    """Turn (and scale) about the origin by a complex factor, then shift."""
    return contour_of(points_of(contour) * turn + shift, contour[:, 2])


def mirrored(contour: Contour) -> Contour:
    """Mirror in the x axis, running the same way round as before."""
    start = np.conj(points_of(contour))[::-1]
    return contour_of(start, np.roll(contour[::-1, 2], -1))
