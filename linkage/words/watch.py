"""One pedal that is looked at for what seems wrong: where it stands, how it is said."""

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from linkage.design.records import Cartesian, Design, Part, Pedal
from linkage.design.values import Value
from linkage.faults import Fault
from linkage.motion.rest import PedalRest, at_rest
from linkage.places import Places
from linkage.words.speech import Speech
from solvers.jet import Num, value


class Watch(Struct, frozen=True, kw_only=True, eq=False):
    """One pedal at rest, in plain numbers."""

    design: Design
    pedal: Pedal
    rest: PedalRest

    @classmethod
    def over(cls, design: Design, pedal: Pedal) -> "Watch":
        """Return the watch over a pedal of a design."""
        return cls(design=design, pedal=pedal, rest=at_rest(Places(design), pedal))

    @property
    def stands(self) -> bool:
        """Return True where the pedal can stand at rest and be pressed."""
        return not self.rest.faults() and self.rest.missing() is None

    @property
    def is_question(self) -> bool:
        """Return True while anything that places the pedal is free."""
        values, choices = self.design.values, self.design.choices
        free = [path for path, each in values.items() if each.kind != "fixed"]
        return any(
            path.partition(".")[0] in (self.pedal.name, "point")
            and not path.endswith(".bore")
            for path in [*free, *choices]
        )

    @property
    def travel(self) -> float:
        """Rest to full along the arc, mm."""
        return number(self.rest.travel)

    @property
    def pivot(self) -> complex:
        """Where the pedal turns, mm."""
        return complex(value(self.rest.pivot))

    @property
    def hole(self) -> complex:
        """The hole that drives the train, mm."""
        return complex(value(self.rest.places.point(f"{self.pedal.name}.clevis")))

    def with_hole(self, hole: complex) -> "Watch":
        """Return the same pedal with its hole elsewhere."""
        there = Cartesian(x=Value(nominal=hole.real), z=Value(nominal=hole.imag))
        pedal = replace(self.pedal, points={**self.pedal.points, "clevis": there})
        pedals = {**self.design.pedals, pedal.name: pedal}
        return Watch.over(replace(self.design, pedals=pedals), pedal)

    @property
    def speech(self) -> Speech:
        """How its lengths are said."""
        return Speech(self.design.units)

    def mm(self, length: float) -> str:
        """Return a length with the unit of the design: "60 mm", "2.362 in"."""
        return f"{self.speech.short(length)} {self.speech.units}"

    def about(self, length: float) -> str:
        """Return a length as far as it matters in a sentence: "512", "20.2"."""
        return self.speech.short(length, 0 if self.speech.units == "mm" else 1)

    def fault(
        self, key: str, wrong: str, right: str, part: Part | None = None
    ) -> Fault:
        """Return a fault at a key of the pedal, or of one of its parts."""
        owner = self.pedal if part is None else part
        place = key if part is None else f"{part.label.replace('.', ' ')}: {key}"
        return Fault(
            file=self.design.file,
            line=owner.lines.get(key, owner.line),
            key=place,
            wrong=wrong,
            right=right,
        )


def number(x: Num) -> float:
    """Return the one number of a single layout."""
    return float(np.ravel(np.real(value(x)))[0])
