"""Every sheet of the pattern as it comes off the printer: each bar, each pair of holes.

Pages are rendered by another library; a mark is found by its ink alone. Across sheets
places are laid together by the crosses that neighbours share, as a builder does.
"""

from functools import cache
from itertools import combinations

import numpy as np
import pytest
from numpy.typing import NDArray

from export.pdf import pdf_bytes
from export.shapes import Circle, Drawing, Line, Window
from linkage.sheets.pattern import pattern_pages
from tests.export.raster import PIXEL, dark_centre, dark_span, patch, render
from tests.linkage.sheets.samples import ARM, HOLES, PAD, STAMP

PAPERS = ("a4", "letter", "a3")
ROOM = 0.05 + 1e-9


@cache
def printed(paper: str) -> tuple[tuple[Drawing, ...], bytes]:
    pages = pattern_pages(ARM, HOLES, pad=PAD, paper=paper, title="Arm", stamp=STAMP)
    return pages, pdf_bytes(pages)


def window_of(page: Drawing) -> Window:
    (window,) = [item for item in page.items if isinstance(item, Window)]
    return window


@pytest.mark.parametrize("paper", PAPERS)
def test_both_bars_of_every_sheet(paper: str) -> None:
    pages, _ = printed(paper)
    for number, page in enumerate(pages):
        grey = rendered(paper, number)
        bars = [i for i in page.items if isinstance(i, Line) and i.role == "paper bar"]
        ways = sorted([(bar.b - bar.a) / 100 for bar in bars], key=lambda way: way.imag)
        assert ways == pytest.approx([1.0, 1j])
        for bar in bars:
            along = (bar.b - bar.a) / 100
            thin = 0.05 * complex(abs(along.imag), abs(along.real))
            line = patch(
                grey, page.height, bar.a - 5 * along - thin, bar.b + 5 * along + thin
            )
            span = dark_span(line[0] if along.real > 0.5 else line[:, 0])
            assert span == pytest.approx(100.0, abs=ROOM), (number, bar)


def seen_on(page: Drawing, place: complex) -> bool:
    window, size = window_of(page), 6.5
    at = place + window.shift
    inner = window.upper - window.lower - 2 * complex(size, size)
    from_low = at - window.lower - complex(size, size)
    return 0 < from_low.real < inner.real and 0 < from_low.imag < inner.imag


def found_on(paper: str, number: int, place: complex) -> complex:
    """The centre of a cross, mm from the sheet's lower left corner.

    Each stroke is looked for beside the other one, 2 mm off, where the planned centre
    only says which ink is meant.
    """
    pages, _ = printed(paper)
    grey, height = rendered(paper, number), pages[number].height
    at = place + window_of(pages[number]).shift
    upright = [middle(grey, height, at + 2j * way, 1.0) for way in (-1, 1)]
    level = [middle(grey, height, at + 2.0 * way, 1j) for way in (-1, 1)]
    return complex(sum(upright) / 2, sum(level) / 2)


@cache
def rendered(paper: str, number: int) -> NDArray[np.uint8]:
    return render(printed(paper)[1], number)


def middle(
    grey: NDArray[np.uint8], height: float, near: complex, way: complex
) -> float:
    """Where a thin stroke crosses a short line through ``near``, mm along ``way``."""
    half = complex(0.9, 0.3) if way == 1.0 else complex(0.3, 0.9)
    corner = near - half
    corner = complex(round(corner.real / PIXEL), round(corner.imag / PIXEL)) * PIXEL
    size = 2 * half
    box = patch(grey, height, corner, corner + size)
    x, y = dark_centre(box)
    return corner.real + x if way == 1.0 else corner.imag + size.imag - y


def marks(page: Drawing, role: str) -> list[complex]:
    return [
        item.centre
        for item in window_of(page).items
        if isinstance(item, Circle) and item.role == role
    ]


def holes_of(pages: tuple[Drawing, ...]) -> dict[str, complex]:
    """Each hole in the turned drawing; by the one turn and shift that puts them all."""
    bores = marks(pages[0], "bore circle")
    metal = [place for place, size in HOLES.values() if size is not None]
    turn = (bores[1] - bores[0]) / (metal[1] - metal[0])
    assert abs(turn) == pytest.approx(1.0)
    return {
        name: bores[0] + (place - metal[0]) * turn for name, (place, _) in HOLES.items()
    }


def laid_together(paper: str) -> list[complex]:
    """Where each sheet's corner lies on the first one's, by the crosses they share."""
    pages, _ = printed(paper)
    crosses = sorted(
        set(marks(pages[0], "paper cross")), key=lambda z: (z.imag, z.real)
    )
    shifts = [0j]
    for number in range(1, len(pages)):
        shared = [
            place
            for place in crosses
            if seen_on(pages[number - 1], place) and seen_on(pages[number], place)
        ]
        assert len(shared) >= 2
        gaps = [
            found_on(paper, number - 1, place) - found_on(paper, number, place)
            for place in shared
        ]
        shifts.append(shifts[-1] + sum(gaps) / len(gaps))
    return shifts


@pytest.mark.parametrize("paper", PAPERS)
def test_every_pair_of_holes(paper: str) -> None:
    pages, _ = printed(paper)
    shifts = laid_together(paper)
    places = holes_of(pages)
    assert len(places) == len(HOLES) == 3
    seen = {}
    for name, place in places.items():
        number = next(n for n, page in enumerate(pages) if seen_on(page, place))
        seen[name] = found_on(paper, number, place) + shifts[number]
    for one, two in combinations(HOLES, 2):
        metal = abs(HOLES[one][0] - HOLES[two][0])
        assert abs(seen[one] - seen[two]) == pytest.approx(metal, abs=ROOM), (one, two)
