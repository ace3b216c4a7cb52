"""A lever on a fixed pivot: with an output a bell crank, without one an end."""

from typing import Any, ClassVar

import numpy as np
from msgspec import Struct

from linkage.design.keys import Form, Key
from linkage.design.records import CableRun, Part, Point
from linkage.design.values import Value
from linkage.parts.cable import CABLE_RUN, RunRest, loose_run
from linkage.parts.moving import (
    SAME_PLACE,
    Body,
    Drawn,
    Drive,
    Link,
    Margin,
    Step,
    Unsound,
    number,
    sense_of_rate,
)
from linkage.parts.shared_keys import THICK, pivot_key, rod_key, turn_key
from linkage.places import Places, left_of
from solvers.jet import Jet, Late, Num, Parts, lift, times, value
from solvers.planar import between, dot, length, unit_angle
from solvers.swing import Swing, swing


class Lever(Part, frozen=True, kw_only=True):
    """Turned by a rod into ``input``, or by a cable."""

    KIND: ClassVar[str] = "lever"
    KEYS: ClassVar[tuple[Key, ...]] = (
        pivot_key("lever", "[180, 95]"),
        Key(
            name="input",
            form=Form.POINT,
            required=True,
            says="the hole that the rod or cable drives",
            example="input = [172, 140]",
        ),
        Key(
            name="output",
            form=Form.POINT,
            says="the hole that drives the next part",
            example="output = [225, 99]",
        ),
        turn_key("lever"),
        rod_key("the rod that drives it, hole to hole", "146"),
        CABLE_RUN,
        THICK,
    )

    pivot: Point
    input: Point
    output: Point | None = None
    turn: Value | None = None
    rod: Value | None = None
    cable: CableRun | None = None
    thick: Value | None = None

    @property
    def ends(self) -> bool:
        """Return True for a lever without an output."""
        return self.output is None

    def rules(self) -> list[tuple[str, str, str]]:
        """Return what does not go together."""
        faults = []
        if self.cable is not None and self.rod is not None:
            faults.append(
                ("rod", "a lever is driven by a rod or a cable, not both.", "Drop one.")
            )
        if self.cable is not None and self.cable.end_ferrule is None:
            faults.append(
                (
                    "cable",
                    "nothing says where the cable ends at this lever.",
                    "Write end_ferrule = [x, z] into cable: the fixed ferrule "
                    "in front of the lever's input.",
                )
            )
        return faults + (loose_run(self.cable, "cable") if self.cable else [])

    def place(self, places: Places, key: str) -> Any:
        """Return where ``pivot``, ``input``, ``output`` or a ferrule lies at rest."""
        if key == "input" and self.cable is None:
            return places.driven(self, self.input, self.rod)
        if key.startswith("cable."):
            return places.form(getattr(self.cable, key.removeprefix("cable.")))
        return super().place(places, key)

    def rest(self, places: Places, drive: Drive) -> "LeverRest":
        """Return the lever at rest in numbers."""
        pivot = places.point(f"{self.path}.pivot")
        arm = places.point(f"{self.path}.input") - pivot
        run, start = None, drive.hole
        if self.cable is not None:
            run = RunRest.of(self.cable, self.path, places, drive)
            start = places.point(f"{self.path}.cable.end_ferrule")
        line = start - pivot
        return LeverRest(
            part=self,
            drive=drive,
            run=run,
            pivot=pivot,
            arm=arm,
            line=line,
            link=length(line - arm),
            sign=left_of(arm, line),
            output=(
                places.point(f"{self.path}.output") if self.output is not None else None
            ),
            reach=length(arm),
            corner=between(line, arm).v,
        )


class LeverRest(Struct, frozen=True, kw_only=True, eq=False):
    """A lever in numbers.

    Attributes
    ----------
    arm, line : complex
        From the own pivot to the input, and to the link's other end (the driving
        hole, or the far ferrule of a cable).
    link : float
        Length of rod, or of the free run of cable.
    sign : float
        The branch: +1 where the arm lies to the left of the line.
    reach : float
        Length of the arm.
    corner : float
        Angle between line and arm, 0 to pi.
    """

    part: Lever
    drive: Drive
    run: RunRest | None
    pivot: Num
    arm: Num
    line: Num
    link: Num
    sign: Any
    output: Num | None
    reach: Num
    corner: Any

    @property
    def rate(self) -> Any:
        """First turn per travel, rad/mm."""
        arm = value(self.arm)
        rod = value(self.line) - arm
        n = dot(rod, 1j * arm)
        if self.run is not None:
            return value(self.link) * self.run.rate / n
        return dot(rod, self.drive.velocity()) / n

    @property
    def unsound(self) -> tuple[Unsound, ...]:
        """The link must reach, must not lie in line with the arm, and must move it."""
        missing = np.isnan(value(self.arm))
        found = [Unsound(missing, "rod", self._say_short, missing=True)]
        least = np.minimum(np.abs(value(self.arm)), np.abs(value(self.line)))
        least = np.minimum(least, value(self.link))
        found.append(Unsound(least < SAME_PLACE, "input", self._say_same))
        if self.run is not None:
            found += self.run.unsound
        straight = ~missing & (least >= SAME_PLACE) & (np.asarray(self.sign) == 0.0)
        found.append(Unsound(straight, "input", self._say_straight))
        if self.run is None:
            still = ~missing & ~straight & np.equal(self.rate, 0.0)
            found.append(Unsound(still, "", self._say_still))
        return tuple(found)

    def _say_short(self) -> tuple[str, str]:
        rod = self.part.rod and self.part.rod.nominal
        reach = abs(number(length(self.line)))
        return (
            f"a rod of {number(rod):.1f} cannot join the driving hole to this input: "
            f"the hole is {reach:.1f} from the lever's pivot.",
            "Change the rod, the reach of the input, or the pivot.",
        )

    def _say_same(self) -> tuple[str, str]:
        return (
            "pivot, input and what drives it are not three places: two of them are one.",
            "Give each a place of its own.",
        )

    def _say_straight(self) -> tuple[str, str]:
        return (
            "link and lever arm are in one line at rest, so the lever can go either "
            "way.",
            "Move the input off that line.",
        )

    def _say_still(self) -> tuple[str, str]:
        return (
            "at rest pressing does not turn this lever: its rod and the arm that "
            "drives it are in one line (dead centre).",
            "Move the driving hole so that the rod stands nearer to square.",
        )

    def follow(self, driver: Body) -> Step:
        """Return how the lever turns while ``driver`` turns."""
        if self.run is not None:
            return self._drawn(driver, self.run)
        arm = driver.arm(self.drive.hole)
        base = driver.pivot - self.pivot
        held = swing(arm, self.reach, self.link, self.sign, base)
        body = self._body(held)

        def corner() -> Jet:
            return between(arm, (arm + base) - body.arm(self.pivot + self.arm))

        def driven() -> Jet:
            own = body.arm(self.pivot + self.arm)
            return between(own, own - (arm + base))

        link = Link(
            "rod",
            driver,
            far=lambda: body.carry(self.pivot + self.arm),
            corner=corner,
            driven=driven,
        )
        return self._step(link, held, body, what="its rod")

    def _drawn(self, driver: Body, run: RunRest) -> Step:
        drawn = run.follow(driver)
        held = swing(self.line, self.reach, self.link - drawn.taken, self.sign)
        body = self._body(held, drawn)
        return self._step(drawn.link, held, body, "the cable", drawn)

    def _body(self, held: Swing, drawn: Drawn | None = None) -> Body:
        """Return the lever turned from rest: its turn is counted from there.

        A slack cable turns it by nothing at all, not by what rounding leaves.
        """
        start = lift(self.arm)

        def parts() -> Parts:
            t, g, h = held.turn()
            if g is not None and start.g is not None:
                g = g - np.imag(start.g / start.v)
            return t, g, h

        def turn(out: Any) -> Any:
            if drawn is None:
                return unit_angle(*held.place().carry(1.0 / start.v), out)
            opened = held.corner() - self.corner
            opened *= drawn.taken.v > 0.0
            return np.multiply(opened, self.sign, out=out)

        return Body(self.pivot, held.place, Late(turn, parts), False, start.v)

    def _step(
        self,
        link: Link,
        held: Swing,
        body: Body,
        what: str,
        drawn: Drawn | None = None,
    ) -> Step:
        why = f"the lever and {what} are in one line: it can be driven no further"
        return Step(
            path=self.part.path,
            kind="lever",
            link=link,
            end=lambda: times(body.turn(), sense_of_rate(self.rate)),
            body=body,
            output=self.output,
            drawn=drawn,
            margins=(Margin(kind="locked", room=held.margin, why=why),),
        )
