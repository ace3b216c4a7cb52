"""Labels beside what they name: none over another, none off the page.

Each label has an anchor. Places round it are tried near before far; a place on another
label or outside the frame is never taken, and of the rest the one with least ink under
it and the shortest way wins. A label that stands off its anchor gets a leader.
All lengths are mm on paper.
"""

import math
from collections.abc import Iterable, Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from export.lettering import ASCENT, CAPITAL, DESCENT, text_width
from export.shapes import (
    Line,
    Shape,
    Text,
    rectangle,
)
from linkage.sheets.box import Box
from linkage.sheets.crowding import crossings, ink_under, misleading
from linkage.sheets.draughting import dot
from linkage.sheets.traces import along

PITCH = 1.75  # from base line to base line, in heights of a capital
_PAD = 0.8  # open paper round a label
_RINGS = (1.4, 3.0, 5.0, 8.0, 11.0, 15.0, 20.0, 26.0, 33.0, 41.0, 50.0, 60.0, 72.0)
_STEPS = 24  # directions tried
_INK = 1.3  # cost of one inked millimetre under a label, in mm of way
_LEADER = 3.5  # from here on a label gets a leader
_MISLEADS = 10.0  # cost of standing nearer to what another of its kind names
_BESIDE = 2.0  # so near to another of its kind a label gets a leader
_FAR = 20.0  # rings from here on come second


class Label(Struct, frozen=True, kw_only=True, eq=False):
    """Words that want a place.

    Attributes
    ----------
    lines : tuple of str
        One under the other.
    at : complex
        What they name.
    towards : complex
        The side on which they would best stand; 0 for any.
    weight : float
        Greater is placed earlier.
    kin : str
        Labels of one kind, each of which could be taken for another's: they keep off
        what the others name. Empty for none.
    """

    lines: tuple[str, ...]
    at: complex
    role: str = "letters"
    size: float = 2.5
    towards: complex = 0j
    weight: float = 0.0
    kin: str = ""
    bold: bool = False


class Placed(Struct, frozen=True, kw_only=True, eq=False):
    """A label with its place; ``start`` is the left end of the first base line."""

    label: Label
    box: Box
    start: complex
    leader: tuple[complex, complex] | None

    def shapes(self) -> tuple[Shape, ...]:
        """Return backing, leader and letters."""
        label, box = self.label, self.box
        corners = complex(box.left, box.bottom), complex(box.right, box.top)
        step = 1j * PITCH * label.size
        return (
            *(
                ()
                if self.leader is None
                else (Line(*self.leader, "leader"), dot(self.leader[0], 0.35))
            ),
            rectangle(*corners, "paper"),
            *(
                Text(
                    at=self.start - n * step,
                    text=line,
                    role=label.role,
                    size=label.size,
                    bold=label.bold,
                )
                for n, line in enumerate(label.lines)
            ),
        )


def place_labels(
    labels: Sequence[Label],
    *,
    frame: Box,
    taken: Iterable[Box] = (),
    ink: NDArray[np.complex128],
) -> tuple[tuple[Placed, ...], tuple[Label, ...]]:
    """Return the placed labels and those for which no room was left.

    Parameters
    ----------
    labels : sequence of Label
        Heavy ones choose first; of equal weight, the earlier.
    frame : Box
        Where labels may stand.
    taken : iterable of Box
        Where none may.
    ink : ndarray, shape (n,)
        Points about a millimetre apart on what is drawn, to be kept clear if possible.
    """
    boxes = list(taken)
    placed: list[Placed] = []
    homeless: list[Label] = []
    for label in sorted(labels, key=lambda item: -item.weight):
        kin = [each for each in labels if label.kin and each.kin == label.kin]
        rivals = np.array([each.at for each in kin if each.at != label.at], complex)
        beside = [each.box for each in placed if each.label in kin]
        found = _best(label, frame, boxes, ink, rivals)
        if found is None:
            homeless.append(label)
            continue
        if any(_gap(found.box, box) < _BESIDE for box in beside):
            found = _led(found)
        placed.append(found)
        boxes.append(found.box)
        if found.leader is not None:
            # Several times over: a label on another's leader misleads.
            ink = np.concatenate([ink, *[along([found.leader])] * 4])
    return tuple(placed), tuple(homeless)


def _size(label: Label) -> tuple[float, float]:
    width = max(text_width(line, label.size, bold=label.bold) for line in label.lines)
    tall = (ASCENT + DESCENT) / CAPITAL + PITCH * (len(label.lines) - 1)
    return width + 2 * _PAD, tall * label.size + 0.6


def _gap(a: Box, b: Box) -> float:
    """Return how far two boxes are apart."""
    x = max(a.left - b.right, b.left - a.right, 0.0)
    return math.hypot(x, max(a.bottom - b.top, b.bottom - a.top, 0.0))


def _led(placed: Placed) -> Placed:
    """Return a label with a leader, however near it stands."""
    at = placed.label.at
    return replace(placed, leader=(at, _edge(placed.box, at)))


def _best(
    label: Label,
    frame: Box,
    taken: Sequence[Box],
    ink: NDArray[np.complex128],
    rivals: NDArray[np.complex128],
) -> Placed | None:
    width, height = _size(label)
    way, ring = _places()
    reach = np.abs(way.real) * width / 2 + np.abs(way.imag) * height / 2
    centre = label.at + way * (ring + reach)
    free = _free(centre, width, height, frame, taken)
    if not free.any():
        return None
    way, ring, centre = way[free], ring[free], centre[free]
    # A far place costs more than its ring: it is weighed only where near ones cost that.
    for end in (int(np.searchsorted(ring, _FAR)), len(ring)):
        tried = way[:end], ring[:end], centre[:end]
        cost = _cost(label, *tried, size=(width, height), taken=taken, ink=ink)
        cost += _MISLEADS * misleading(label.at, rivals, tried[2], width, height)
        if cost.min(initial=np.inf) <= _FAR:
            break
    best = int(np.argmin(cost))
    return _settled(label, complex(centre[best]), width, height, float(ring[best]))


def _cost(
    label: Label,
    way: NDArray[np.complex128],
    ring: NDArray[np.float64],
    centre: NDArray[np.complex128],
    *,
    size: tuple[float, float],
    taken: Sequence[Box],
    ink: NDArray[np.complex128],
) -> NDArray[np.float64]:
    """Return what each place costs, in mm of way: never less than its ring."""
    cost = ring + _INK * ink_under(ink, centre, *size)
    led = ring > _LEADER
    cost[led] += 30.0 * crossings(label.at, centre[led], taken)
    if label.towards:
        favoured = label.towards / abs(label.towards)
        cost += 2.5 * (1.0 - (way * favoured.conjugate()).real)
    return cost


def _places() -> tuple[NDArray[np.complex128], NDArray[np.float64]]:
    turn = np.exp(1j * math.tau * np.arange(_STEPS) / _STEPS)
    return np.tile(turn, len(_RINGS)), np.repeat(np.array(_RINGS), _STEPS)


def _free(
    centre: NDArray[np.complex128],
    width: float,
    height: float,
    frame: Box,
    taken: Sequence[Box],
) -> NDArray[np.bool_]:
    left, right = centre.real - width / 2, centre.real + width / 2
    bottom, top = centre.imag - height / 2, centre.imag + height / 2
    free = (left >= frame.left) & (right <= frame.right)
    free &= (bottom >= frame.bottom) & (top <= frame.top)
    for box in taken:
        apart = (left >= box.right) | (right <= box.left)
        free &= apart | (bottom >= box.top) | (top <= box.bottom)
    return free


def _settled(
    label: Label, centre: complex, width: float, height: float, ring: float
) -> Placed:
    box = Box(
        left=centre.real - width / 2,
        bottom=centre.imag - height / 2,
        right=centre.real + width / 2,
        top=centre.imag + height / 2,
    )
    rise = label.size * ASCENT / CAPITAL + 0.3
    return Placed(
        label=label,
        box=box,
        start=complex(box.left + _PAD, box.top - rise),
        leader=(label.at, _edge(box, label.at)) if ring > _LEADER else None,
    )


def _edge(box: Box, at: complex) -> complex:
    """Return the point of the box's rim at which a leader from ``at`` ends."""
    middle = (box.bottom + box.top) / 2
    if box.left < at.real < box.right:
        x = min(max(at.real, box.left + 1.0), box.right - 1.0)
        return complex(x, box.bottom if at.imag < box.bottom else box.top)
    return complex(box.left if at.real <= box.left else box.right, middle)
