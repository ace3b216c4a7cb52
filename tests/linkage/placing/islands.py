"""Questions with as many families of answers as are planted: circles that cross.

A point at given distances from two fixed marks lies in one of two places. Two such
points give four pairs; a bound on the distance between them strikes one out.
"""

import numpy as np

from linkage.design.records import Design
from linkage.loading import load_text

HEAD = """
[point]
mark = [60, 440]
stay = ["{ax:.2f} to {bx:.2f}", "{az:.2f} to {bz:.2f}"]
post = [{px:.3f}, {pz:.3f}]
[pedal.brake]
pivot = [120, 545]
pad = [35, 255]
clevis = ["{cx:.2f} to {dx:.2f}", "{cz:.2f} to {dz:.2f}"]
travel = 40
[[pedal.brake.train]]
part = "cylinder"
seat = [260, 487]
axis = "forward"
"""


def distance(one: str, other: str, wish: str) -> str:
    return (
        '[[pedal.brake.target]]\nof = "distance"\nat = "rest"\n'
        f'between = ["{one}", "{other}"]\n{wish}\n'
    )


def crossing(
    rng: np.random.Generator, a: complex, b: complex, about: complex
) -> tuple[complex, complex, float, float]:
    """Return a point near ``about``, its mirror in the line a-b, and both radii."""
    p = about + complex(*rng.uniform(-4.0, 4.0, 2))
    line = (b - a) / abs(b - a)
    mirror = a + line * np.conj((p - a) / line)
    return p, complex(mirror), abs(p - a), abs(p - b)


def box(points: tuple[complex, ...], spare: float) -> tuple[float, float, float, float]:
    x, z = np.real(points), np.imag(points)
    return x.min() - spare, x.max() + spare, z.min() - spare, z.max() + spare


def islands(count: int, rng: np.random.Generator) -> tuple[Design, list[list[complex]]]:
    """Return a question with ``count`` families, and the hole and stay of each.

    Parameters
    ----------
    count : int
        2, 3 or 4.
    """
    pivot, mark = 120.0 + 545.0j, 60.0 + 440.0j
    post = 330.0 + 430.0j + complex(*rng.uniform(-10.0, 10.0, 2))
    hole, other, r1, r2 = crossing(rng, pivot, mark, 112.0 + 484.0j)
    stay, far, r3, r4 = crossing(rng, post, 400.0 + 520.0j, 345.0 + 505.0j)
    ax, bx, az, bz = box((stay, far) if count > 2 else (stay,), 6.0)
    cx, dx, cz, dz = box((hole, other), 6.0)
    text = HEAD.format(
        ax=ax,
        bx=bx,
        az=az,
        bz=bz,
        cx=cx,
        dx=dx,
        cz=cz,
        dz=dz,
        px=post.real,
        pz=post.imag,
    )
    text = text.replace("[pedal.brake]", "end = [400, 520]\n[pedal.brake]")
    text += distance("pivot", "clevis", f"is = {r1:.3f}\nwithin = 0.2")
    text += distance("mark", "clevis", f"is = {r2:.3f}\nwithin = 0.2")
    text += distance("post", "stay", f"is = {r3:.3f}\nwithin = 0.2")
    text += distance("end", "stay", f"is = {r4:.3f}\nwithin = 0.2")
    pairs = [
        [p, q] for p in (hole, other) for q in ((stay, far) if count > 2 else (stay,))
    ]
    if count == 3:
        pairs.sort(key=lambda pair: abs(pair[0] - pair[1]))
        gaps = [abs(p - q) for p, q in pairs]
        text += distance("clevis", "stay", f"least = {0.5 * (gaps[0] + gaps[1]):.3f}")
        pairs = pairs[1:]
    return load_text(text), pairs
