"""Names of points in a row: apart, clear of what is there, their lines uncrossed."""

from itertools import combinations, pairwise

import numpy as np
import pytest

from export.shapes import Path
from linkage.sheets.box import Box, text_box
from linkage.sheets.stairs import Named, Stairs, stairs
from tests.cases_count import many

FRAME = Box(left=0.0, bottom=0.0, right=200.0, top=200.0)
Piece = tuple[complex, complex]


def pieces(shape: object) -> list[Piece]:
    assert isinstance(shape, Path)
    (run,) = shape.runs
    return list(pairwise(run))


def crosses(one: Piece, other: Piece) -> bool:
    """Whether two level or upright pieces cross inside both."""
    (a, b), (c, d) = one, other
    first, second = (sorted((p.real, q.real)) for p, q in (one, other))
    low, high = (sorted((p.imag, q.imag)) for p, q in (one, other))
    wide = min(first[1], second[1]) - max(first[0], second[0])
    tall = min(low[1], high[1]) - max(low[0], high[0])
    return (a, b) != (c, d) and wide > -1e-9 and tall > -1e-9


def of(seed: int) -> tuple[list[Named], Stairs, list[Box], bool]:
    rng = np.random.default_rng(seed)
    count = int(rng.integers(1, 9))
    x = 120.0 + np.cumsum(rng.uniform(0.5, 9.0, count))
    y = 110.0 + rng.uniform(-2.0, 2.0, count)
    points = [
        Named(at=complex(a, b), text=f"{n} a failure")
        for n, (a, b) in enumerate(zip(x, y, strict=True))
    ]
    taken = [Box(left=90.0, bottom=100.0, right=118.0, top=104.0)]
    down = bool(rng.integers(0, 2))
    return points, stairs(points, taken, FRAME, down=down), taken, down


@pytest.mark.parametrize("seed", range(many(200)))
def test_names_stand_apart_and_no_line_crosses_another(seed: int) -> None:
    points, found, taken, down = of(seed)
    boxes = [text_box(name) for name in found.names]
    assert len(boxes) == len(points)
    assert all(FRAME.holds(box) for box in boxes)
    assert not any(a.meets(b) for a, b in combinations([*boxes, *taken], 2))
    for one, other in combinations(found.lines, 2):
        assert not any(crosses(a, b) for a in pieces(one) for b in pieces(other))
    for point in points:
        line = next(s for s in found.lines if pieces(s)[0][0] == point.at)
        name = next(each for each in found.names if each.text == point.text)
        end = pieces(line)[-1][1]
        assert abs(end - name.at) < 1.5
        assert (end.imag < point.at.imag) == down


def test_names_that_have_no_room_below_stand_above() -> None:
    point = Named(at=100 + 3j, text="a failure")
    (name,) = stairs([point], [], FRAME, down=True).names
    assert name.at.imag > 3.0
