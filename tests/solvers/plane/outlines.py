"""Random smooth outlines for the tests, and a faceted second road by another library."""

from collections.abc import Iterator

import numpy as np
import shapely

from solvers.plane.belt import belt
from solvers.plane.pieces import Contour, OutlineError, pieces_of


def random_belts(count: int, seed: int) -> Iterator[Contour]:
    """Belts round 3 to 6 discs about a centre, some with fillets between them."""
    rng = np.random.default_rng(seed)
    made = 0
    while made < count:
        n = int(rng.integers(3, 7))
        turn = np.linspace(0.0, 2.0 * np.pi, n, endpoint=False)
        turn += rng.uniform(-0.2, 0.2, n)
        centres = rng.uniform(60.0, 150.0, n) * np.exp(1j * turn)
        radii = rng.uniform(5.0, 30.0, n)
        sides = np.where(rng.random(n) < 0.3, -1.0, 1.0)
        try:
            yield belt(centres + 20.0, radii, sides)
        except OutlineError:
            continue
        made += 1


def faceted(contour: Contour, step: float = 1e-3) -> shapely.Polygon:
    """Polygon of chords no longer in angle than ``step`` rad."""
    rows = []
    pieces = pieces_of(contour)
    for k in range(len(pieces)):
        if pieces.straight[k]:
            rows.append(pieces.start[k : k + 1])
            continue
        n = int(np.ceil(abs(pieces.sweep[k]) / step))
        angle = pieces.begin[k] + pieces.sweep[k] * np.arange(n) / n
        rows.append(pieces.centre[k] + pieces.radius[k] * np.exp(1j * angle))
    points = np.concatenate(rows)
    return shapely.Polygon(np.column_stack([points.real, points.imag]))
