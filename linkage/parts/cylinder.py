"""A hydraulic cylinder driven by a rod, pushed or pulled."""

from collections.abc import Iterator
from typing import Any, ClassVar

import numpy as np
from msgspec import Struct

from linkage.design.boosters import booster_rules
from linkage.design.brake_records import Booster
from linkage.design.hydraulics import HYDRAULIC, tandem_rules
from linkage.design.keys import Form, Key
from linkage.design.records import Direction, Part, Point
from linkage.design.values import Value
from linkage.parts.moving import Body, Drive, Link, Margin, Step, Unsound, number
from linkage.parts.shared_keys import rod_key
from linkage.places import Places, driving_hole
from linkage.units import out_of, say, trim
from solvers.closure import Slide, slide
from solvers.jet import Jet, Late, Num, value
from solvers.planar import between, conj, length

#: A rod that leans more than this, deg, is said to stand square to its axis.
SQUARE = 75.0


class Cylinder(Part, frozen=True, kw_only=True):
    """A cylinder whose rod end moves along ``axis``.

    Exactly one of ``seat``; ``on`` and ``rod``; ``face`` and ``depth`` or ``proud``.
    """

    KIND: ClassVar[str] = "cylinder"
    NAMED: ClassVar[tuple[str, ...]] = ("seat",)
    KEYS: ClassVar[tuple[Key, ...]] = (
        Key(
            name="axis",
            form=Form.DIRECTION,
            placement=True,
            required=True,
            says="the way the piston moves when the pedal is pressed",
            example='axis = "forward"',
        ),
        Key(
            name="bore",
            form=Form.NUMBER,
            placement=True,
            choice_only=True,
            positive=True,
            least=5.0,
            most=80.0,
            says="the bore of the cylinder",
            example='bore = "3/4 in"',
        ),
        Key(
            name="stroke",
            form=Form.NUMBER,
            positive=True,
            least=2.0,
            most=200.0,
            says="the stroke that the cylinder has",
            example='stroke = "1.4 in"',
        ),
        Key(
            name="free_play",
            form=Form.NUMBER,
            placement=True,
            least=-20.0,
            most=20.0,
            says="the gap still open between rod end and piston at rest",
            example="free_play = 0.5",
        ),
        Key(
            name="seat",
            form=Form.POINT,
            says="where the rod's end is at rest",
            example="seat = [233, 487]",
        ),
        Key(
            name="on",
            form=Form.POINT,
            says="any point of the cylinder's axis line",
            example="on = [233, 487]",
        ),
        rod_key("the rod, hole to end", "130"),
        Key(
            name="face",
            form=Form.POINT,
            says="where the axis meets the mounting face",
            example="face = { ahead = 3, up = 489.5 }",
        ),
        Key(
            name="depth",
            form=Form.NUMBER,
            placement=True,
            least=-200.0,
            most=500.0,
            says="the depth from the face to the rod's seat",
            example='depth = "about 11"',
        ),
        Key(
            name="proud",
            form=Form.NUMBER,
            placement=True,
            least=-200.0,
            most=500.0,
            says="how far the rod's seat stands out of the face",
            example="proud = 12",
        ),
        Key(
            name="pull",
            form=Form.FLAG,
            says="true for a cylinder whose rod pulls",
            example="pull = true",
        ),
        Key(
            name="gland",
            form=Form.NUMBER,
            positive=True,
            least=1.0,
            most=60.0,
            says="diameter of the rod where it leaves a pull cylinder",
            example="gland = 10",
        ),
        *HYDRAULIC,
    )

    axis: Direction
    bore: Value | None = None
    stroke: Value | None = None
    free_play: Value | None = None
    seat: Point | None = None
    on: Point | None = None
    rod: Value | None = None
    face: Point | None = None
    depth: Value | None = None
    proud: Value | None = None
    pull: bool | None = None
    gland: Value | None = None
    circuits: tuple[str, ...] | None = None
    cut_off: Value | None = None
    first_stroke: Value | None = None
    second_bore: Value | None = None
    cylinder_spring: Value | None = None
    mount: Value | None = None
    booster: Booster | None = None

    def rules(self) -> list[tuple[str, str, str]]:
        """Return what does not go together."""
        return [
            *self._place_rules(),
            *self._gland_rules(),
            *self._gap_rule(),
            *tandem_rules(self),
            *(("booster", *said) for said in booster_rules(self.booster)),
        ]

    def _place_rules(self) -> Iterator[tuple[str, str, str]]:
        """Say what is amiss with where the cylinder is."""
        right = (
            "Give one of: seat; on and rod; face and depth (into the face) "
            "or proud (standing out of it)."
        )
        given = [k for k in ("seat", "on", "face") if getattr(self, k) is not None]
        if not given:
            yield "seat", "nothing says where the cylinder is.", right
        elif len(given) > 1:
            yield given[1], f"{' and '.join(given)} say the same thing twice.", right
        elif given == ["on"] and self.rod is None:
            yield "on", "on needs the rod's length beside it.", right
        elif given == ["face"] and (self.depth is None) == (self.proud is None):
            yield "face", "face needs one of depth and proud.", right
        elif given != ["on"] and self.rod is not None:
            yield "rod", f"with {given[0]} the rod's length follows.", "Leave rod out."
        if given and given != ["face"]:
            for key in ("depth", "proud"):
                if getattr(self, key) is not None:
                    yield key, f"{key} counts from a face, and there is none.", right

    def _gland_rules(self) -> Iterator[tuple[str, str, str]]:
        """Say what is amiss with the rod of a pull cylinder."""
        if self.gland is not None and not self.pull:
            wrong = "a gland belongs to a pull cylinder."
            yield "gland", wrong, "Write pull = true, or leave gland out."
        if self.gland is not None and self.bore is not None:
            narrowest = min(self.bore.options or (self.bore.nominal,))
            if self.gland.nominal >= narrowest:
                wrong = "the rod is as thick as the bore or thicker."
                right = "Give the rod's diameter where it leaves the cylinder."
                yield "gland", wrong, right
        if self.pull and self.gland is None and self.bore is not None:
            wrong = "a pull cylinder needs its gland (the rod's diameter)."
            yield "pull", wrong, "Write gland = 10, say."

    def _gap_rule(self) -> list[tuple[str, str, str]]:
        """Return what a gap below 0 does to the brakes."""
        gap = self.free_play
        least = 0.0 if gap is None else min(gap.low or 0.0, gap.nominal, *gap.options)
        if gap is None or least >= 0.0:
            return []
        off = trim(out_of(-least, gap.unit), 4)
        shorter = trim(out_of(0.5 - least, gap.unit), 3)
        right = f"Shorten the rod by {shorter} for a gap of {say(0.5, gap.unit, 3)}."
        return [
            (
                "free_play",
                f"-{off} holds the piston {off} off its ring at rest. The ports stay "
                "shut and the brakes drag as they warm.",
                right,
            )
        ]

    def place(self, places: Places, key: str) -> Any:
        """Return where ``seat``, ``on`` or ``face`` lies at rest."""
        if key != "seat":
            return super().place(places, key)
        if self.seat is not None:
            return places.form(self.seat)
        axis = places.heading(self.axis)
        if self.face is not None:
            return places.point(f"{self.path}.face") + axis * self._in(places)
        on = places.point(f"{self.path}.on")
        local = (places.point(driving_hole(self)) - on) * conj(axis)
        rod = places.number(self.rod)
        end = slide(local, rod, self.sign).along
        varied = isinstance(local, Jet) or isinstance(rod, Jet)
        return on + axis * (end if varied else end.v)  # plain numbers stay plain

    def _in(self, places: Places) -> Num:
        """Return how far the seat lies along the axis from the face."""
        if self.depth is not None:
            return self.sign * places.number(self.depth)
        return -self.sign * places.number(self.proud)

    @property
    def sign(self) -> float:
        """Return +1 for a rod that pushes, -1 for one that pulls."""
        return -1.0 if self.pull else 1.0

    def rest(self, places: Places, drive: Drive) -> "CylinderRest":
        """Return the cylinder at rest in numbers."""
        seat = places.point(f"{self.path}.seat")
        axis = places.heading(self.axis)
        back = conj(axis)
        arm = (drive.hole - drive.pivot) * back
        base = (drive.pivot - seat) * back
        rod = length(seat - drive.hole)
        start = value(arm) + value(base)
        return CylinderRest(
            part=self,
            drive=drive,
            axis=axis,
            seat=seat,
            rod=rod,
            arm=arm,
            base=base,
            play=places.number(self.free_play),
            corner=np.angle(start / value(arm))
            + self.sign * np.arcsin(start.imag / value(rod)),
            lengths=np.abs(value(arm)) * value(rod),
        )


class CylinderRest(Struct, frozen=True, kw_only=True, eq=False):
    """A cylinder in numbers, mm and rad.

    Attributes
    ----------
    axis : complex
        Unit vector.
    seat : complex
        The rod's end at rest.
    play : float
        Gap between rod end and piston.
    lengths : float
        Product of the driving arm's length and the rod's.
    arm, base : complex
        From the driving pivot to its hole, and from the seat to that pivot, in the
        frame of the axis.
    corner : float
        Angle from the driving arm to the rod, both seen from outside, less the rod's
        lean: with turn and lean it gives the angle at the hole without a further
        inverse function.
    """

    part: Cylinder
    drive: Drive
    axis: Num
    seat: Num
    rod: Num
    arm: Num
    base: Num
    play: Num
    corner: Any
    lengths: Any

    @property
    def rate(self) -> Any:
        """First movement of the rod end along the axis, per travel."""
        local = (value(self.drive.hole) - value(self.seat)) * np.conj(value(self.axis))
        moving = self.drive.velocity() * np.conj(value(self.axis))
        return moving.real + local.imag / local.real * moving.imag

    @property
    def unsound(self) -> tuple[Unsound, ...]:
        """The rod must lie on the right side and be driven the right way."""
        gap = value(self.seat) - value(self.drive.hole)
        ahead = self.part.sign * (gap * np.conj(value(self.axis))).real
        missing = np.isnan(ahead)
        return (
            Unsound(missing, "rod", self._say_short, missing=True),
            Unsound(~missing & (ahead <= 0.0), "seat", lambda: self._say_side(ahead)),
            Unsound((ahead > 0.0) & (self.rate <= 0.0), "", self._say_away),
        )

    def _say_short(self) -> tuple[str, str]:
        wrong = (
            f"the rod ({number(self.part.rod and self.part.rod.nominal):.1f}) "
            "does not reach the cylinder's axis at rest."
        )
        return wrong, "Lengthen the rod, or bring the axis nearer to the hole."

    def _say_side(self, ahead: Any) -> tuple[str, str]:
        where = "behind" if self.part.sign > 0.0 else "ahead of"
        kind = "pushes" if self.part.sign > 0.0 else "pulls"
        wrong = (
            f"the rod's end lies {abs(number(ahead)):.1f} {where} its hole along the "
            f"axis, but this rod {kind}."
        )
        if self.part.sign > 0.0:
            return wrong, (
                "A pushed seat lies ahead of its hole: a sign lost, an axis that "
                "points the wrong way, or a pull cylinder (pull = true)?"
            )
        return wrong, "A pulled seat lies behind its hole along the axis."

    def _say_away(self) -> tuple[str, str]:
        first = -10.0 * number(self.rate)
        lean = self._lean_at_rest()
        if lean > SQUARE:
            return (
                f"at rest the rod stands {lean:.1f} deg off the cylinder's axis, all but "
                "square to it, and a rod works along its axis.",
                "Is a digit of the seat, the hole or the axis astray?",
            )
        if not first > 0.0:
            return (
                "at rest pressing does not move this piston: arm and rod are in line "
                "(dead centre).",
                "Move the hole so that the rod stands nearer to square.",
            )
        return (
            f"pressing takes the hole AWAY from this piston ({first:.1f} mm in the "
            "first 10 of pad).",
            "Either a distance lost its sign (write { back = .., up = .. } and "
            "forget about signs), or the axis points the wrong way, or it is a pull "
            "cylinder (pull = true).",
        )

    def _lean_at_rest(self) -> float:
        """Return how far the rod stands off the axis line, deg."""
        run = (value(self.seat) - value(self.drive.hole)) * np.conj(value(self.axis))
        z = complex(np.ravel(run)[0])
        return float(np.degrees(np.arctan2(abs(z.imag), abs(z.real))))

    def _corner(self, driver: Body, arm: Jet, slid: Slide, lean: Jet) -> Jet:
        """Return the angle at the hole."""
        if not driver.known:
            return between(arm, slid.back(), self.lengths)

        def work(out: Any) -> Any:
            angle = np.subtract(lean.v, driver.turning.v, out=out)
            angle += self.corner
            np.abs(angle, out=angle)
            if np.maximum.reduce(angle, axis=None, initial=0.0) > np.pi:
                turned = np.remainder(angle + np.pi, 2.0 * np.pi)
                np.abs(turned - np.pi, out=angle)
            return angle

        return Late(work, lambda: between(arm, slid.back()).parts)

    def follow(self, driver: Body) -> Step:
        """Return what the piston's rod end does while ``driver`` turns.

        Worked out in the frame of the axis, with its origin at the seat.
        """
        arm = driver.turned(self.arm)
        sign = self.part.sign
        slid = slide(arm, self.rod, sign, self.base)
        lean = slid.lean(-sign)
        return Step(
            path=self.part.path,
            kind="cylinder",
            link=Link(
                "rod",
                driver,
                far=lambda: self.seat + self.axis * slid.along,
                corner=lambda: self._corner(driver, arm, slid, lean),
            ),
            end=lambda: slid.along,
            lean=lambda: lean,
            margins=(
                Margin(
                    kind="rod short",
                    room=slid.margin,
                    why="the rod stands square to the cylinder's axis",
                ),
            ),
        )
