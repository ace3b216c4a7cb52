"""A footwell full of things, and a slow second road to every gap in it."""

from collections.abc import Mapping

import numpy as np
import shapely
import shapely.affinity

from linkage.design.records import Design
from linkage.footwell.clearance import Pair, pairs_of
from linkage.footwell.moving import outline
from linkage.loading import load_text
from linkage.motion.rest import PedalRest
from linkage.motion.run import move
from linkage.places import NOTHING
from linkage.sweeping import standing
from solvers.jet import value
from tests.solvers.plane.outlines import faceted

FULL = """
title = "Quillet two-seater"

[footwell]
floor = 0
bulkhead = [[60, 0], [-20, 700]]

[[footwell.fixed]]
name = "steering column"
line = [[-190, 700], [-420, 540]]
thick = 44

[[footwell.fixed]]
name = "tunnel"
polygon = [[-60, 100], [-20, 60], [40, 60], [40, 260], [-10, 260], [-15, 150]]
across = [20, 200]

[[footwell.fixed]]
name = "pipe"
arc = [[-80, 60], [-70, 30], [-30, 20]]

[driver]
shoe = { length = 300, height = 66 }

[pedal.brake]
pivot = [-118, 548]
pad = { back = 207, up = 262, thick = 10, wide = 70, high = 55, lean = 12 }
clevis = { from = "pivot", back = 24, down = 50 }
travel = 120
across = { pad = 0, clevis = 0, seat = 0 }

[[pedal.brake.train]]
part = "cylinder"
face = [30, 490]
depth = 11
axis = "forward"
bore = "3/4 in"
stroke = "1.4 in"

[pedal.throttle]
pivot = [-118, 540]
pad = [-172, 276]
clevis = { from = "pivot", reach = 100, angle = "up, 4 deg ahead" }
travel = 57
across = { pad = 50, clevis = 60, seat = 60 }

[[pedal.throttle.train]]
part = "cable"
ferrule = [30, 640]
slack = 1
"""


def design(text: str = FULL) -> Design:
    return load_text(text, "full.toml")


def resting(text: str = FULL, values: Mapping[str, float] = NOTHING) -> PedalRest:
    """Return the brake of a footwell at rest."""
    return standing(design(text), "brake", values=values)


def by_facets(rest: PedalRest, pair: Pair, travels: np.ndarray) -> np.ndarray:
    """Distance of one pair at some travels: chords and shapely; 0 where they touch.

    Nothing of the program's own motion: the arm is turned by arc length over radius, a
    rod is laid from where its hole and its end are.
    """
    shape = faceted(outline(pair.moving, rest), 5e-3)
    stood = [faceted(each, 5e-3) for each in pair.thing.outlines()]
    pivot, pad = complex(value(rest.pivot)), complex(value(rest.pad))
    found = []
    for travel in travels:
        turn = float(rest.sense) * travel / abs(pad - pivot)
        there = shapely.affinity.rotate(
            shape, turn, origin=(pivot.real, pivot.imag), use_radians=True
        )
        if pair.moving.kind == "rod":
            run = move(rest, np.array([travel]))
            ends = [run.at(f"{rest.pedal.name}.clevis"), run.last.link.far()]
            line = [(z.real, z.imag) for z in (complex(np.ravel(e.v)[0]) for e in ends)]
            there = shapely.LineString(line).buffer(5.0, quad_segs=200)
        found.append(min(there.distance(each) for each in stood))
    return np.array(found)


def named(rest: PedalRest) -> Mapping[tuple[str, str], Pair]:
    return {(pair.moving.name, pair.thing.name): pair for pair in pairs_of(rest)}
