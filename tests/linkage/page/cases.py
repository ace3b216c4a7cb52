"""Design files that the page is tried on: the examples, and one with every form."""

from collections.abc import Iterator
from pathlib import Path

from linkage.design.circles import graph
from linkage.page.aims import line_names, place_of, resolve
from linkage.page.document import Document, read
from linkage.places import Places

EXAMPLES = Path(__file__).resolve().parents[3] / "examples"

#: Every form of a point, every kind of value, every way to end a travel.
FORMS = """\
# Every form of a point once.
title = "Bench piece"   # no car at all
units = "mm"

[footwell]
floor = 0
bulkhead = [[-40, 0], { ahead = 25, up = 640 }]

[point]
shaft = { back = 118, up = 548 }   # the bolt
post = [-60, "300 to 500"]

[pedal.brake]
pivot = "shaft"
pad = { back = "205 +- 1.5", up = "about 262", thick = 10 }
clevis = { one_of = ["lower", "upper"] }
full = { back = 62 }

[pedal.brake.holes]
lower = { from = "pivot", reach = "40 to 80 near 57", angle = "down, 5 to 20 deg back" }
upper = { line = ["pivot", "pad"], along = 40, ahead = 12.5 }   # \u00be past
side = { line = ["pivot", "pad"], along = 70 }
behind = { line = ["pad", "pivot"], along = 230, ahead = 12 }
level = { line = ["train.1.pivot", "pivot"], along = 30.5, up = "-8 to 60 near 14 +- 0.5" }
bare = { from = "pivot", down = 44 }
marked = { from = "pivot", reach = 61.5, angle = -9, off = "pad" }

[[pedal.brake.train]]
part = "lever"
name = "crank"
pivot = [-20, 460]
input = { from = "own pivot", reach = 46.5, side = "above" }
rod = 112
output = { from = "own pivot", reach = 48, angle = "down" }

[[pedal.brake.train]]
part = "cylinder"
on = { ahead = 70, up = 412 }
rod = 90
axis = "forward, 2 deg up"
bore = { one_of = [0.70, "3/4 in"] }
stroke = "1.4 in"

[pedal.brake.arm]
plate = 8
material = "steel"

[[pedal.brake.target]]
of = "stroke"
at = "full"
is = 24
within = 0.2   # good enough

[[pedal.brake.target]]
of = "ratio"
least = 4

[pedal.clutch]
pivot = { back = 120, up = 520 }
pad = { from = "pivot", back = 90, down = 280 }
clevis = { from = "pivot", back = 6, down = "3 in" }
full = { tape = 118.5 }

[[pedal.clutch.train]]
part = "cylinder"
pull = true
gland = 10
face = [-230, 446]
proud = 12
axis = 178
"""


def documents() -> list[Document]:
    """Return every example and the one with every form."""
    files = sorted(EXAMPLES.glob("*.toml"))
    read_ones = [read(file.read_text(encoding="utf-8"), file.name) for file in files]
    return [*read_ones, read(FORMS, "forms.toml")]


def names(document: Document) -> Iterator[str]:
    """Return the name of every point of a document, and of what else has a handle."""
    design = document.opened
    assert design is not None, document.faults
    yield from graph(design.pedals, design.points)
    yield from line_names(design)
    for pedal in design.pedals.values():
        yield f"{pedal.name}.full"
        yield from (
            f"{part.path}.axis" for part in pedal.train if hasattr(part, "axis")
        )


def where(document: Document, name: str) -> complex:
    """Return where a point lies."""
    assert document.opened is not None, document.faults
    places = Places(document.opened)
    return place_of(places, resolve(places, name))
