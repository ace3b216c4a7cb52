"""A random train carried through its travel at 40 digits.

Written from the triangles of `tests.oracles`, part after part; call inside
`oracles.digits`.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import mpmath as mp

from tests import oracles
from tests.trains import Train, rodded

Number = Any


@dataclass(frozen=True, kw_only=True)
class High:
    """A train at one place of its travel: mpmath numbers, mm and rad.

    Attributes
    ----------
    moved : mpf
        Movement of what ends the train: rod end, pull or turn (in its first sense).
    rooms : tuple of mpf
        What each rod or cable-driven lever has left before it is in one line.
    columns : dict of str to mpf
        By the names of a sweep.
    """

    moved: Number
    rooms: tuple[Number, ...]
    columns: dict[str, Number]


def high(
    train: Train, travel: Number, changed: Mapping[str, Number] | None = None
) -> High:
    """Carry a train to a place of its travel; some numbers may be changed."""
    return _Climb(train, changed or {}).to(travel)


class _Climb:
    """One pass along a train."""

    def __init__(self, train: Train, changed: Mapping[str, Number]) -> None:
        self.train = train
        self.numbers = {k: mp.mpf(v) for k, v in train.numbers.items()} | dict(changed)
        self.columns: dict[str, Number] = {}
        self.rooms: list[Number] = []

    def point(self, name: str) -> Number:
        return mp.mpc(self.numbers[name + ".x"], self.numbers[name + ".z"])

    def to(self, travel: Number) -> High:
        pivot, hole = self.point("pivot"), self.point("clevis")
        arm = travel / abs(self.point("pad") - pivot)
        self.columns["arm_angle"] = arm
        turn, sense, moved = self.train.sense * arm, self.train.sense, mp.mpf(0)
        for n, kind in enumerate(self.train.kinds, 1):
            now = oracles.turned(hole, pivot, turn)
            if kind.endswith("cylinder"):
                moved = self.cylinder(n, kind, hole, now, pivot)
            elif kind.endswith("cable"):
                moved = self.pull(n, kind, hole, now, pivot, sense * turn)
            elif kind.endswith("quadrant"):
                pull = self.pull(n, kind, hole, now, pivot, sense * turn)
                moved = oracles.taken(pull, self.slack(n)) / self.numbers[f"{n}.radius"]
                self.columns[f"{n} turn"] = moved
            else:
                turn = self.lever(n, kind, hole, now, pivot, sense * turn)
                sense = self.train.senses[n]
                moved = sense * turn
                self.columns[f"{n} turn"] = moved
                pivot = self.point(f"{n}.pivot")
                if n < len(self.train.kinds):
                    hole = self.point(f"{n}.output")
        return High(moved=moved, rooms=tuple(self.rooms), columns=self.columns)

    def crank(self, n: int, name: str, at: tuple[Number, Number, Number]) -> None:
        last = n == len(self.train.kinds)
        self.columns[name if last else f"crank_{n}_angle"] = oracles.corner(*at)

    def slack(self, n: int) -> Number:
        return self.numbers[f"{n}.slack"]

    def cylinder(
        self, n: int, kind: str, hole: Number, now: Number, pivot: Number
    ) -> Number:
        axis = mp.expj(self.numbers[f"{n}.axis"] * mp.pi / 180)
        side = -1 if kind.startswith("pull") else 1
        seat = self.seat(n, hole, axis, side)
        rod = abs(seat - hole)
        local = ((now - seat) / axis).imag
        self.rooms.append(1 - (local / rod) ** 2)
        moved = oracles.slider(now, seat, axis, rod, side)
        end = seat + axis * moved
        self.columns["rod_angle"] = oracles.lean(now, end, axis)
        self.columns["stroke"] = oracles.taken(moved, self.numbers[f"{n}.free_play"])
        self.crank(n, "crank_angle", (pivot, now, end))
        return moved

    def seat(self, n: int, hole: Number, axis: Number, side: int) -> Number:
        """Where the rod's end rests, from any of the ways to say it."""
        if f"{n}.seat.x" in self.numbers:
            return self.point(f"{n}.seat")
        if f"{n}.rod" in self.numbers:
            on = self.point(f"{n}.on")
            return on + axis * oracles.slider(
                hole, on, axis, self.numbers[f"{n}.rod"], side
            )
        depth = self.numbers.get(f"{n}.depth", 0) - self.numbers.get(f"{n}.proud", 0)
        return self.point(f"{n}.face") + side * depth * axis

    def held(self, n: int, hole: Number, own: Number) -> Number:
        """Where a lever's input rests: as typed, or as reach and rod have it."""
        if f"{n}.rod" not in self.numbers:
            return self.point(f"{n}.input")
        line, rod = hole - own, self.numbers[f"{n}.rod"]
        if f"{n}.reach" in self.numbers:
            arm, word = self.numbers[f"{n}.reach"], self.train.words[f"{n}.side"]
            part = -line.imag if word in ('"ahead"', '"back"') else line.real
            side = 1 if (part > 0) == (word in ('"above"', '"ahead"')) else -1
        else:
            typed = self.point(f"{n}.input") - own
            arm, side = abs(typed), 1 if (typed / line).imag > 0 else -1
        return own + arm * mp.expj(oracles.swing(hole, own, arm, rod, side))

    def pull(
        self, n: int, kind: str, hole: Number, now: Number, pivot: Number, turn: Number
    ) -> Number:
        if kind.startswith("drum"):
            pull = self.numbers[f"{n}.drum"] * turn
        else:
            ferrule = self.point(f"{n}.ferrule")
            pull = oracles.pull(now, ferrule, abs(hole - ferrule))
            self.crank(n, "crank_angle", (pivot, now, ferrule))
        self.columns["cable_pull"] = pull
        return pull

    def lever(
        self, n: int, kind: str, hole: Number, now: Number, pivot: Number, turn: Number
    ) -> Number:
        own = self.point(f"{n}.pivot")
        rod = rodded(kind)
        held = self.held(n, hole, own) if rod else self.point(f"{n}.input")
        if rod:
            start, end, link = hole, now, abs(held - hole)
        else:
            taken = oracles.taken(
                self.pull(n, kind, hole, now, pivot, turn), self.slack(n)
            )
            start = end = self.point(f"{n}.end_ferrule")
            link = abs(held - start) - taken
        arm = abs(held - own)
        side = 1 if ((held - own) / (start - own)).imag > 0 else -1
        line = abs(end - own)
        self.rooms.append(1 - ((arm**2 + link**2 - line**2) / (2 * arm * link)) ** 2)
        psi = oracles.swing(end, own, arm, link, side)
        if rod:
            at = own + arm * mp.expj(psi)
            self.columns[f"transmission_{n}_angle"] = oracles.corner(own, at, now)
            self.crank(n, "crank_angle", (pivot, now, at))
        return oracles.folded(psi - mp.arg(held - own))
