"""A pedal at rest, in numbers: ready to be moved."""

from typing import Any

import numpy as np
from msgspec import Struct

from linkage.design.records import FullStop, Pedal
from linkage.faults import Fault
from linkage.parts.balance_bar import BalanceBar, BarRest, bar_rest
from linkage.parts.moving import Drive, Rest, Unsound, number
from linkage.places import Places, driving_hole, sense_of
from solvers.jet import Num, arccos, arcsin, lift, value, where
from solvers.planar import angle, length, real

#: mm; the same bound as for a typed travel.
MOST_TRAVEL = 600.0
#: The way each word of ``full = {...}`` measures, and its sign along that way.
WAYS = {
    "ahead": (1 + 0j, 1.0),
    "back": (1 + 0j, -1.0),
    "up": (1j, 1.0),
    "down": (1j, -1.0),
}


class PedalRest(Struct, frozen=True, kw_only=True, eq=False):
    """One pedal (or many layouts of it) at rest.

    Attributes
    ----------
    pivot, pad : complex number, array (n, 1) or jet
        mm.
    sense : float or ndarray
        +1 where pressing turns the arm anticlockwise.
    radius, travel : number, array or jet
        Pivot to pad; arc length from rest to full stop, mm (nan where the pad never
        gets to the stop).
    parts : tuple of Rest
        In order from the arm; those of a bar are the last two, front first.
    bar : BarRest or None
    """

    pedal: Pedal
    places: Places
    pivot: Num
    pad: Num
    sense: Any
    radius: Num
    travel: Num
    parts: tuple[Rest, ...]
    bar: BarRest | None = None

    @property
    def play(self) -> Num:
        """Return what the end moves before its pistons do, mm."""
        if self.bar is None:
            return getattr(self.parts[-1], "play", 0.0) if self.parts else 0.0
        return self.bar.mean(*(getattr(each, "play", 0.0) for each in self.parts[-2:]))

    @property
    def unsound(self) -> tuple[tuple[int, Unsound], ...]:
        """Everything that keeps this pedal from standing at rest, with part number.

        0 stands for the pedal itself.
        """
        with np.errstate(divide="ignore", invalid="ignore"):
            found = [(0, flaw) for flaw in self._own_flaws()]
            for index, part in enumerate(self.parts, 1):
                found += [(index, flaw) for flaw in part.unsound]
        return tuple(found)

    def _own_flaws(self) -> list[Unsound]:
        travel = value(self.travel)
        flat = ~(np.asarray(value(self.radius)) > 0.0)
        never = ~flat & ~(np.asarray(travel) > 0.0)
        turns = np.asarray(travel) / np.asarray(value(self.radius)) >= 2.0 * np.pi
        turns = ~flat & (turns | (np.asarray(travel) > MOST_TRAVEL))
        return [
            Unsound(
                flat,
                "pad",
                lambda: (
                    "pad and pivot are the same place.",
                    "Measure the pad to the middle of its face.",
                ),
            ),
            Unsound(
                never,
                self._stop,
                lambda: (
                    "the pad never gets there on its arc.",
                    f"It swings {number(self.radius):.1f} from its pivot.",
                ),
            ),
            Unsound(
                turns,
                self._stop,
                lambda: (
                    f"the pad would travel {number(travel):.0f} to get there.",
                    "Pedals travel up to 200: did a distance lose its sign?",
                ),
            ),
        ]

    @property
    def _stop(self) -> str:
        """What says in the file where the travel ends: "travel", "full.back"."""
        how = self.pedal.full.how
        return how if how == "travel" else f"full.{how}"

    def faults(self) -> list[Fault]:
        """Return one fault for each flaw of a single layout, reach excepted."""
        return [
            self._fault(index, flaw)
            for index, flaw in self.unsound
            if np.any(flaw.where) and not flaw.missing
        ]

    def missing(self) -> str | None:
        """Return why the layout cannot be put together at all, or None."""
        for _, flaw in self.unsound:
            if flaw.missing and np.any(flaw.where):
                return flaw.say()[0]
        return None

    def sound(self) -> Any:
        """Return True, elementwise, for layouts that stand at rest."""
        bad: Any = False
        for _, flaw in self.unsound:
            bad = bad | np.asarray(flaw.where)
        return ~np.asarray(bad)

    def _fault(self, index: int, flaw: Unsound) -> Fault:
        wrong, right = flaw.say()
        lines = self.pedal.lines
        line, key = self.pedal.line, flaw.key
        if key == self._stop:
            line = self.pedal.full.value.line
        if index:
            part = self.pedal.train[index - 1]
            lines, line = part.lines, part.line
            key = part.label.replace(".", " ") + (f": {flaw.key}" if flaw.key else "")
        return Fault(
            file=self.places.design.file,
            line=lines.get(flaw.key, line),
            key=key,
            wrong=wrong,
            right=right,
        )


def at_rest(places: Places, pedal: Pedal) -> PedalRest:
    """Return a pedal at rest for one assignment of values.

    Parameters
    ----------
    places : Places
        With its values: numbers, arrays of shape (n, 1), or jets.
    pedal : Pedal
    """
    pivot = places.point(f"{pedal.name}.pivot")
    pad = places.point(f"{pedal.name}.pad")
    radius = length(pad - pivot)
    sense = sense_of(pedal, value(pad) - value(pivot))
    with np.errstate(divide="ignore", invalid="ignore"):
        travel = arc_to_stop(places, pedal.full, pivot, pad - pivot, radius, sense)
        drive = Drive(pivot, 0j, sense / value(radius))
        parts = []
        for part in pedal.train:
            name = driving_hole(part)
            bare = name.endswith(".clevis") and "clevis" not in pedal.points  # a drum
            hole = pivot if bare else places.point(name)
            rest = part.rest(places, Drive(drive.pivot, hole, drive.rate))
            parts.append(rest)
            if not part.ends:
                drive = Drive(rest.pivot, 0j, rest.rate)
    return PedalRest(
        pedal=pedal,
        places=places,
        pivot=pivot,
        pad=pad,
        sense=sense,
        radius=radius,
        travel=travel,
        parts=tuple(parts),
        bar=bar_rest(pedal.bar, places) if isinstance(pedal.bar, BalanceBar) else None,
    )


def arc_to_stop(
    places: Places, full: FullStop, pivot: Num, reach: Num, radius: Num, sense: Any
) -> Num:
    """Return the arc from rest to full stop, mm."""
    given = places.number(full.value)
    if full.how == "travel":
        return given
    if full.how == "tape":
        return radius * 2.0 * arcsin(given / (2.0 * radius))
    way, sign = WAYS[full.how]
    across = (sign * given - real(pivot / way)) / radius
    rest_angle = angle(reach / way)
    to = arccos(lift(across))
    turns = [_forward(sense * (end - rest_angle)) for end in (to, -to)]
    return radius * where(value(turns[0]) < value(turns[1]), turns[0], turns[1])


def _forward(turn: Num) -> Num:
    """Add whole turns until the value is above 0."""
    whole = 2.0 * np.pi
    return turn - whole * np.floor(np.asarray(value(turn)) / whole)
