"""Questions that several tests ask, and their placements, worked out once."""

from functools import cache

from linkage.design.frees import groups
from linkage.design.records import Design
from linkage.loading import load_text
from linkage.placing.layouts import Free, Layouts, layouts
from linkage.placing.place import place
from linkage.placing.records import Placement
from linkage.placing.wishes import wishes_of

HANGING = """
title = "Quillet two-seater"
[pedal.brake]
pivot  = { back = "100 to 150 near 118", up = 546 }
pad    = { back = 206, up = 258 }
clevis = { from = "pivot", back = "0 to 20", down = "45 to 65" }
full = { back = 58 }
[[pedal.brake.train]]
part = "cylinder"
face = { ahead = 3, up = "475 to 505" }
depth = "about 11"
axis = "forward"
bore = "0.70 in"
stroke = 30.5
free_play = 0.5
[[pedal.brake.target]]
of = "ratio"
at = "65 mm"
is = 5.5
within = 0.05
[[pedal.brake.target]]
of = "crank angle"
at = "65 mm"
is = 90
within = 1
[[pedal.brake.target]]
of = "rod angle"
at = "65 mm"
is = 0
within = 0.2
[[pedal.brake.target]]
of = "rod angle"
at = "0 to 120 mm"
most = 1.5
"""


SHARED = """
[point]
shaft = ["100 to 140", 545]
[pedal.brake]
pivot = "shaft"
pad = [35, 255]
clevis = [106, 484.5]
travel = 110
[[pedal.brake.train]]
part = "cylinder"
seat = [233, 487]
axis = "forward"
[[pedal.brake.target]]
of = "crank angle"
at = "rest"
is = 80
within = 0.1
[pedal.clutch]
pivot = "shaft"
pad = [35, 250]
clevis = [104, "470 to 490"]
travel = 120
[[pedal.clutch.train]]
part = "cylinder"
seat = [233, 487]
axis = "forward"
[[pedal.clutch.target]]
of = "ratio"
at = "rest"
is = 5
within = 0.02
"""


SHORT = """
[pedal.brake]
pivot  = [118, 546]
pad    = [35, 258]
clevis = { from = "pivot", reach = "40 to 70", angle = "down, 0 to 20 deg back" }
travel = 100
[[pedal.brake.train]]
part = "cylinder"
seat = ["230 to 250", "475 to 505"]
axis = "forward"
stroke = 60
[[pedal.brake.target]]
of = "stroke"
at = "full"
is = 24
within = 0.2
[[pedal.brake.target]]
of = "ratio"
least = 5.5
"""


@cache
def asked(text: str, mark: float | None = None) -> Placement:
    return place(load_text(text), mark=mark)


def problem_of(design: Design) -> Layouts:
    (group,) = groups(design)
    return layouts(
        design,
        group.pedals,
        [Free.of(free) for free in group.frees],
        wishes_of(design, group.pedals),
        numbers={},
        names={},
    )
