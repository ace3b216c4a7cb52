"""Sheets at full size: coverage, overlap, bars and crosses, measured on paper."""

import numpy as np
import pytest

from export.paper import (
    STYLES,
    calibration_bar,
    full_size,
)
from export.pdf import pdf_bytes
from export.shapes import Circle, Drawing, Line, Style
from export.tiling import MARGIN, OVERLAP, PAPERS, crosses, spread
from tests.cases_count import many
from tests.export.raster import PIXEL, dark_span, patch, render


def test_every_point_is_on_some_sheet_and_neighbours_overlap() -> None:
    rng = np.random.default_rng(5)
    for _ in range(many(300)):
        x = rng.uniform(-300.0, 300.0, 4)
        lower = complex(min(x[:2]), min(x[2:]))
        upper = complex(max(x[:2]), max(x[2:]))
        plan = spread(lower, upper, paper=str(rng.choice(list(PAPERS))))
        panes = [(t.lower - t.shift, t.upper - t.shift) for t in plan.tiles]
        for part in rng.uniform(0.0, 1.0, (20, 2)):
            size = upper - lower
            at = lower + complex(part[0] * size.real, part[1] * size.imag)
            assert any(
                low.real <= at.real <= high.real and low.imag <= at.imag <= high.imag
                for low, high in panes
            )
        for tile, (low, _) in zip(plan.tiles, panes, strict=True):
            if tile.column:
                left = panes[tile.row * plan.columns + tile.column - 1]
                assert left[1].real - low.real == pytest.approx(OVERLAP)


def test_a_small_drawing_takes_one_sheet_and_no_cross() -> None:
    plan = spread(0j, 100 + 100j, paper="a4")
    assert len(plan.tiles) == 1
    assert crosses(plan) == ()
    assert plan.tiles[0].label == "A1"


def test_a_long_arm_takes_two() -> None:
    for paper in ("a4", "letter"):
        assert len(spread(0j, 60 + 350j, paper=paper).tiles) == 2
        assert len(spread(0j, 350 + 60j, paper=paper).tiles) == 2


def test_unknown_paper_names_the_known() -> None:
    with pytest.raises(ValueError, match="a4, letter, a3"):
        spread(0j, 1 + 1j, paper="b5")


def test_each_cross_is_whole_on_two_sheets_at_least() -> None:
    plan = spread(0j, 500 + 600j, paper="a4")
    panes = [(t.lower - t.shift, t.upper - t.shift) for t in plan.tiles]
    found = crosses(plan)
    assert found
    for at in found:
        whole = [
            low.real <= at.real - 5
            and at.real + 5 <= high.real
            and low.imag <= at.imag - 5
            and at.imag + 5 <= high.imag
            for low, high in panes
        ]
        assert sum(whole) >= 2


@pytest.mark.parametrize("paper", list(PAPERS))
def test_both_bars_measure_a_hundred(paper: str) -> None:
    pages = full_size((), 0j, 50 + 50j, paper=paper, title="t", notes=("n",), styles={})
    (page,) = pages
    grey = render(pdf_bytes(pages))
    along, upright = [
        item
        for item in page.items
        if isinstance(item, Line) and item.role == "paper bar"
    ]
    row = patch(
        grey, page.height, along.a - complex(5, 0.05), along.b + complex(40, 0.05)
    )[0]
    column = patch(
        grey, page.height, upright.a - complex(0.05, 5), upright.b + complex(0.05, 20)
    )[:, 0]
    assert dark_span(row) == pytest.approx(100.0, abs=PIXEL + 1e-6)
    assert dark_span(column) == pytest.approx(100.0, abs=PIXEL + 1e-6)
    assert min(along.a.real, upright.a.real, along.a.imag) >= MARGIN


def test_neighbours_show_the_same_overlap() -> None:
    ring = tuple(Circle(centre=30 + 40j * n, radius=25.0, role="o") for n in range(9))
    pages = full_size(
        ring,
        0j,
        60 + 350j,
        paper="a4",
        title="t",
        notes=(),
        styles={"o": Style(width=0.3)},
    )
    plan = spread(0j, 60 + 350j, paper="a4", foot=18.0)
    assert len(pages) == 2
    document = pdf_bytes(pages)
    corner = plan.tiles[0].lower - plan.tiles[0].shift
    far = (plan.tiles[0].upper - plan.tiles[0].shift).real
    edge = 1.0  # keep off the drawn edge of the window
    parts = [
        patch(
            render(document, n),
            pages[n].height,
            corner + complex(edge, edge) + t.shift,
            complex(far - edge, corner.imag + OVERLAP - edge) + t.shift,
        )
        for n, t in enumerate(plan.tiles)
    ]
    ink = [part < 128 for part in parts]
    assert ink[0].any()
    assert ink[0].shape == ink[1].shape
    # The sheets fall on the pixel grid each in its own way: all ink of one must have
    # ink of the other within one pixel.
    for a, b in (ink, ink[::-1]):
        near = np.zeros_like(b)
        for dy in (-1, 0, 1):
            for dx in (-1, 0, 1):
                near |= np.roll(np.roll(b, dy, 0), dx, 1)
        assert (a & near).sum() == a.sum()


def test_a_bar_alone_has_flush_ticks() -> None:
    page = Drawing(
        title="",
        width=210,
        height=297,
        items=calibration_bar(50 + 50j, 1 + 0j),
        styles=STYLES,
    )
    grey = render(pdf_bytes([page]))
    whole = patch(grey, 297.0, 30 + 40j, 180 + 60j).min(axis=0)
    assert dark_span(whole) == pytest.approx(100.0, abs=PIXEL + 1e-6)
