"""What a drag on the page costs Python, against one call of the sweep's kernel.

A preview works out every pedal that rests on the moved number: motion, limits, ends,
table, curves, handles, and the JSON text of it all.
"""

import time
from pathlib import Path

import numpy as np
import pytest

from linkage.motion.run import move
from linkage.page import view
from linkage.page.document import Document, read
from linkage.page.wire import spell
from linkage.quantities.register import columns
from linkage.sweeping import standing
from tests.bench.timing import ROOM, report

pytestmark = pytest.mark.bench

EXAMPLE = Path(__file__).parents[2] / "examples/three-on-one-shaft.toml"
DRAGS = 200
#: Kernel calls that a preview may cost, at the 95th percentile.
MOST = 200.0


def _kernel(document: Document) -> object:
    assert document.design is not None
    rest = standing(document.design, "brake")
    places = np.linspace(0.0, 150.0, 101)

    def call() -> object:
        run = move(rest, places)
        return [column.law(run).v for column in columns(rest.pedal)]

    return call


@pytest.mark.parametrize(
    ("path", "pedals"), [("point.shaft.back", 3), ("brake.train.1.face.up", 1)]
)
def test_a_drag_against_the_kernel(path: str, pedals: int) -> None:
    document = read(EXAMPLE.read_text(), EXAMPLE.name)
    assert document.opened is not None
    start = document.opened.values[path].nominal
    kernel = _kernel(document)
    assert callable(kernel)
    view.state(document, units=None, door="right")
    took: dict[str, list[float]] = {"preview": [], "kernel": []}
    for n in range(DRAGS):
        begun = time.perf_counter()
        moved = {path: start + 0.01 * (n + 1)}
        found = view.preview(document, moved, units=None, door="right")
        text = spell("preview", result=found.drawn) + spell("told", result=found.told())
        done = time.perf_counter()
        kernel()
        took["preview"].append(done - begun)
        took["kernel"].append(time.perf_counter() - done)
    assert len(found.drawn["pedals"]) == pedals
    once = float(np.median(took["kernel"]))
    worst, usual = (float(np.percentile(took["preview"], q)) for q in (95, 50))
    report(
        f"{path}: {worst / once:.0f} kernel calls at the 95th percentile, "
        f"{usual / once:.0f} at the 50th ({1e3 * usual:.1f} ms, {len(text)} bytes)"
    )
    assert worst <= MOST * once * ROOM
