"""Scale and hand of a view, and the choice of the scale."""

import numpy as np
import pytest

from linkage.sheets.box import Box
from linkage.sheets.view import REDUCTIONS, View, bounds, fitted
from tests.cases_count import many

ROOM = Box(left=10.0, bottom=20.0, right=110.0, top=90.0)


def test_a_mirror_keeps_lengths_and_turns_hands() -> None:
    plain = View(reduction=5, shift=3 + 4j)
    mirror = View(reduction=5, mirrored=True, shift=3 + 4j)
    a, b, c = 10 + 20j, 60 - 5j, 30 + 80j
    for view, hand in ((plain, 1.0), (mirror, -1.0)):
        p, q, r = view.at(a), view.at(b), view.at(c)
        assert abs(q - p) * 5 == pytest.approx(abs(b - a))
        turn = ((q - p).conjugate() * (r - p)).imag * 25
        assert turn == pytest.approx(hand * ((b - a).conjugate() * (c - a)).imag)
        assert view.size(50.0) == 10.0


def test_the_scale_is_the_greatest_that_fits() -> None:
    rng = np.random.default_rng(8)
    for _ in range(many(300)):
        points = [
            complex(*xy) for xy in rng.normal(scale=rng.uniform(1, 900), size=(9, 2))
        ]
        view = fitted(points, ROOM, mirrored=bool(rng.integers(2)))
        box = bounds(map(view.at, points))
        assert ROOM.left - 1e-9 <= box.left
        assert box.right <= ROOM.right + 1e-9
        assert ROOM.bottom - 1e-9 <= box.bottom
        assert box.top <= ROOM.top + 1e-9
        if view.reduction > 1:
            grow = view.reduction / max(r for r in REDUCTIONS if r < view.reduction)
            wide, tall = box.right - box.left, box.top - box.bottom
            assert wide * grow > 100.0 or tall * grow > 70.0


def test_a_sketch_touches_two_sides_of_its_room() -> None:
    points = [0j, 900 + 30j, 100 + 300j]
    box = bounds(map(fitted(points, ROOM, standard=False).at, points))
    assert box.right - box.left == pytest.approx(100.0)


def test_what_cannot_fit_is_refused() -> None:
    with pytest.raises(ValueError, match="too far apart"):
        fitted([0j, 1e6 + 0j], ROOM)
    flat = Box(left=0.0, bottom=5.0, right=10.0, top=5.0)
    with pytest.raises(ValueError, match="no room"):
        fitted([0j, 1j], flat)
