"""What a dragged point is caught by: a rod square or in line, a reach that is kept.

Each is a curve in the plane on which some function of the layout at rest is 0; a point
near one is put on it. The functions come from the places themselves, so that whatever
hangs on the dragged point is counted in. Round numbers catch one coordinate at a time
and are none of this module's business (`linkage.page.grid`).

A point is complex, x + 1j z, mm.
"""

import math
from collections.abc import Callable, Iterator
from typing import Any

from msgspec import Struct

from linkage.design.records import Part, Pedal
from linkage.page.aims import aims, at, is_line, place_of
from linkage.places import Places, driving_hole
from solvers.jet import value

#: mm; the step of a slope, and how well a curve is met.
_STEP = 1e-3
_MET = 1e-6
_ROUNDS = 8
#: How much farther than ``near`` a curve may be by its slope alone.
_ROOM = 1.5


Law = Callable[[Places], float]


class Catch(Struct, frozen=True, kw_only=True, eq=False):
    """Where a point is put, by what, and how far another place misses that."""

    to: complex
    word: str | None = None
    miss: Callable[[complex], float] | None = None

    def sharing(self, number: Callable[[complex], float], wanted: float) -> complex:
        """Return where on the curve a number of the point is ``wanted``; nan if nowhere.

        Newton's steps in the plane, by the slopes at ``to``: it is never far.
        """
        here, miss = self.to, self.miss
        if miss is None:
            return complex(math.nan, math.nan)

        def wrong(z: complex) -> complex:
            return complex(miss(z), number(z) - wanted)

        off = wrong(here)
        ahead, up = ((wrong(here + way) - off) / _STEP for way in (_STEP, 1j * _STEP))
        size = (ahead.conjugate() * up).imag
        if not abs(size) > 0.0:
            return complex(math.nan, math.nan)
        for _ in range(_ROUNDS):
            step = complex(-(off.conjugate() * up).imag, (off.conjugate() * ahead).imag)
            here += step / size
            if abs(step / size) < _MET:
                return here
            off = wrong(here)
        return complex(math.nan, math.nan)


def catch(places: Places, name: str, to: complex, near: float) -> Catch:
    """Return the nearest place on a curve that catches, else ``to`` itself.

    Parameters
    ----------
    places : Places
        Before the move, of an opened design.
    name : str
        Of the point, as `linkage.page.aims.resolve` gives it.
    to : complex
        Where it is wanted.
    near : float
        mm.
    """
    found = list(_curves(places, name, to, near))
    close = [each for each in found if abs(each.to - to) <= near]
    return min(close, key=lambda each: abs(each.to - to), default=Catch(to=to))


def _curves(places: Places, name: str, to: complex, near: float) -> Iterator[Catch]:
    kept = _kept_reach(places, name, to)
    if kept is not None and abs(kept - to) <= 0.5 * near:  # else it is hard to leave
        yield Catch(to=kept, word="reach kept", miss=_off_ring(places, name))
    laws = list(_laws(places, name))

    def after(here: complex) -> Places:
        wanted = aims(places, name, here)
        return places.moved({aim.value.path: aim.number for aim in wanted})

    spots = [after(to + way) for way in (0.0, _STEP, 1j * _STEP)]
    for word, law in laws:
        off, ahead, up = map(law, spots)
        slope = complex(ahead - off, up - off) / _STEP
        if abs(slope) * _ROOM * near > abs(off):
            miss = _missing(law, after)
            on = _meet(miss, to, slope)
            if on is not None:
                yield Catch(to=on, word=word, miss=miss)


def _missing(
    law: Law, after: Callable[[complex], Places]
) -> Callable[[complex], float]:
    return lambda z: law(after(z))


def _off_ring(places: Places, name: str) -> Callable[[complex], float]:
    """Return how much farther from its own pivot a place is than the point is now."""
    centre = at(places, own_pivot(name) or name)
    reach = abs(place_of(places, name) - centre)
    return lambda z: abs(z - centre) - reach


def _meet(
    law: Callable[[complex], float], to: complex, slope: complex
) -> complex | None:
    """Return the place near ``to`` where a law is 0, along the slope there; or None."""
    here = to
    for _ in range(_ROUNDS):
        step = law(here) * slope / abs(slope) ** 2
        here -= step
        if abs(step) < _MET:
            return here
    return None


def _kept_reach(places: Places, name: str, to: complex) -> complex | None:
    """Return the nearest place as far from its own pivot as the point is now."""
    pivot = own_pivot(name)
    if pivot is None:
        return None
    centre = at(places, pivot)
    reach, away = abs(place_of(places, name) - centre), to - centre
    return centre + reach * away / abs(away) if abs(away) > 0.0 < reach else None


def own_pivot(name: str) -> str | None:
    """Return the pivot that a point turns round; None for one that stands still."""
    head, _, rest = name.partition(".")
    if head == "point" or is_line(name) or rest in ("pivot", "full"):
        return None
    if not rest.startswith("train."):
        return f"{head}.pivot"
    part, _, key = rest.rpartition(".")
    return f"{head}.{part}.pivot" if key in ("input", "output") else None


# ------------------------------------------------------------------ laws


def _laws(places: Places, name: str) -> Iterator[tuple[str, Law]]:
    head = name.partition(".")[0]
    pedals = places.design.pedals
    if name.endswith((".full", ".axis")) or is_line(name):
        return
    for pedal in pedals.values() if head == "point" else (pedals[head],):
        for part in pedal.train:
            yield from _of_part(pedal, part)


def _of_part(pedal: Pedal, part: Part) -> Iterator[tuple[str, Law]]:
    """Return the laws of the rod or cable that drives a part."""
    cable = part if part.KIND == "cable" else getattr(part, "cable", None)
    if getattr(cable, "drum", None) is not None:
        return
    hole, own = driving_hole(part), f"{pedal.name}.pivot"
    if part.behind:
        own = f"{pedal.train[part.behind - 1].path}.pivot"
    key = "seat" if part.KIND == "cylinder" else "input"
    if cable is not None:
        key = "ferrule" if cable is part else "cable.ferrule"
    word = "rod square" if cable is None else "cable square"
    yield word, lambda places: _cosine(places, hole, own, f"{part.path}.{key}")
    if part.KIND == "cylinder":
        yield "rod in line", lambda places: _lean(places, hole, part)


def _cosine(places: Places, hole: str, own: str, far: str) -> float:
    corner = at(places, hole)
    one, other = at(places, own) - corner, at(places, far) - corner
    size = abs(one) * abs(other)
    return (one.conjugate() * other).real / size if size > 0.0 else math.nan


def _lean(places: Places, hole: str, part: Any) -> float:
    axis = complex(value(places.heading(part.axis)))
    rod = at(places, f"{part.path}.seat") - at(places, hole)
    return (axis.conjugate() * rod).imag / abs(rod) if abs(rod) > 0.0 else math.nan
