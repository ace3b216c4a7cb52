"""Random pedals with trains of every kind, as design files.

A `Train` is a flat list of numbers under the paths that a design file has.
"""

import cmath
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

POINTS = ("seat", "on", "face", "pivot", "input", "output", "ferrule", "end_ferrule")
CABLED = ("cable", "drum")


@dataclass(frozen=True, kw_only=True)
class Train:
    """A pedal with one train.

    Attributes
    ----------
    kinds : tuple of str
        Of its parts, such as ("cable lever", "cylinder").
    numbers : mapping of str to float
        ``pivot.x``, ``travel``, ``1.seat.x``, ``1.axis`` (degrees), ``1.slack`` ...
    words : mapping of str to str
        ``1.sense`` and the like.
    sense : float
        +1 where pressing turns the arm anticlockwise.
    senses : mapping of int to float
        The same for each lever, by part, from the velocities at rest.
    """

    kinds: tuple[str, ...]
    numbers: Mapping[str, float]
    words: Mapping[str, str]
    sense: float
    senses: Mapping[int, float]

    def point(self, name: str) -> complex:
        return complex(self.numbers[name + ".x"], self.numbers[name + ".z"])

    @property
    def travel(self) -> float:
        return self.numbers["travel"]

    def with_numbers(self, **changed: float) -> "Train":
        return replace(self, numbers={**self.numbers, **changed})

    def toml(self) -> str:
        """The design file; numbers in full precision."""
        lines = ["[pedal.brake]"]
        lines += [f"{k} = {self._pair(k)}" for k in ("pivot", "pad", "clevis")]
        lines.append(f"travel = {self.travel!r}")
        for n, kind in enumerate(self.kinds, 1):
            lines += ["[[pedal.brake.train]]", *self._part(n, kind)]
        return "\n".join(lines) + "\n"

    def _pair(self, name: str) -> str:
        return f"[{self.numbers[name + '.x']!r}, {self.numbers[name + '.z']!r}]"

    def _part(self, n: int, kind: str) -> list[str]:
        own = {
            k.removeprefix(f"{n}."): v
            for k, v in self.numbers.items()
            if k.startswith(f"{n}.")
        }
        points = {p: self._pair(f"{n}.{p}") for p in POINTS if p + ".x" in own}
        plain = {k: repr(v) for k, v in own.items() if not k.endswith((".x", ".z"))}
        words = {
            k.removeprefix(f"{n}."): v
            for k, v in self.words.items()
            if k.startswith(f"{n}.")
        }
        if "reach" in plain:
            reach, side = plain.pop("reach"), words.pop("side")
            counted = f'from = "own pivot", reach = {reach}, side = {side}'
            points["input"] = f"{{ {counted} }}"
        entries = {"part": f'"{kind.split()[-1]}"', **points, **plain, **words}
        run: dict[str, str] = {
            k: entries.pop(k)
            for k in ("ferrule", "end_ferrule", "slack", "drum")
            if k in entries
        }
        if kind.endswith("cable"):
            entries |= run
        elif run:
            entries["cable"] = (
                "{ " + ", ".join(f"{k} = {v}" for k, v in run.items()) + " }"
            )
        return [f"{k} = {v}" for k, v in entries.items()]


def rodded(kind: str) -> bool:
    """True for a lever that a rod drives."""
    return kind.endswith("lever") and not kind.startswith(CABLED)


# What drives next, while a train is made: pivot, hole and the hole's first velocity.
Drive = tuple[complex, complex, complex]
Make = Callable[["_Maker", int, Drive], Drive | None]


@dataclass
class _Maker:
    rng: np.random.Generator
    numbers: dict[str, float] = field(default_factory=dict)
    words: dict[str, str] = field(default_factory=dict)
    senses: dict[int, float] = field(default_factory=dict)

    def put(self, name: str, z: complex) -> complex:
        self.numbers[name + ".x"], self.numbers[name + ".z"] = z.real, z.imag
        return z

    def draw(self, low: float, high: float) -> float:
        return float(self.rng.uniform(low, high))

    def sign(self) -> float:
        return float(self.rng.choice([-1.0, 1.0]))

    def near(self, way: complex, spread: float = 40.0) -> complex:
        """A direction within ``spread`` degrees of ``way``."""
        return way / abs(way) * cmath.exp(1j * math.radians(self.draw(-spread, spread)))

    def arm(self, hole: complex, way: complex) -> complex:
        """A pivot from which ``hole`` moves more or less along ``way``."""
        return hole + self.near(1j * self.sign() * way) * self.draw(40, 90)

    def output(self, n: int, pivot: complex, turn: float) -> Drive:
        arm = self.draw(35, 90) * cmath.exp(1j * self.draw(-math.pi, math.pi))
        hole = self.put(f"{n}.output", pivot + arm)
        return pivot, hole, 1j * turn * arm


def _cylinder(make: _Maker, n: int, drive: Drive, side: float = 1.0) -> None:
    _, hole, v = drive
    axis = make.near(v)
    make.numbers[f"{n}.axis"] = math.degrees(cmath.phase(axis))
    make.put(f"{n}.seat", hole + side * make.near(axis, 15.0) * make.draw(60, 160))
    make.numbers[f"{n}.free_play"] = float(make.rng.choice([0.0, make.draw(0, 1)]))
    make.numbers[f"{n}.stroke"] = make.draw(8, 40)


def _pull_cylinder(make: _Maker, n: int, drive: Drive) -> None:
    _cylinder(make, n, drive, side=-1.0)
    make.words[f"{n}.pull"] = "true"


def _with_form(make: _Maker, n: int, drive: Drive, form: str, side: float) -> None:
    """Say the same seat by ``on`` and the rod, or by a face and what counts from it."""
    _cylinder(make, n, drive, side)
    if side < 0.0:
        make.words[f"{n}.pull"] = "true"
        make.numbers[f"{n}.bore"] = make.draw(15, 25)
        make.numbers[f"{n}.gland"] = make.draw(5, 12)
    numbers = make.numbers
    seat = complex(numbers.pop(f"{n}.seat.x"), numbers.pop(f"{n}.seat.z"))
    axis = cmath.exp(1j * math.radians(numbers[f"{n}.axis"]))
    along = make.draw(5, 60)
    if form == "on":
        numbers[f"{n}.rod"] = abs(seat - drive[1])
        make.put(f"{n}.on", seat + make.sign() * along * axis)
    else:
        ahead = side if form == "depth" else -side
        numbers[f"{n}.{form}"] = along
        make.put(f"{n}.face", seat - ahead * along * axis)


def _formed(form: str, side: float = 1.0) -> Make:
    return lambda make, n, drive: _with_form(make, n, drive, form, side)


def _reach_lever(make: _Maker, n: int, drive: Drive) -> Drive:
    """Metal lengths: own pivot to input, and the rod; the place follows."""
    after = _lever(make, n, drive)
    own, numbers = after[0], make.numbers
    held = complex(numbers.pop(f"{n}.input.x"), numbers.pop(f"{n}.input.z"))
    numbers[f"{n}.reach"] = abs(held - own)
    numbers[f"{n}.rod"] = abs(held - drive[1])
    make.words[f"{n}.side"] = f'"{_side(held - own, drive[1] - own)}"'
    return after


def _side(arm: complex, line: complex) -> str:
    off = arm - _dot(arm, line) / abs(line) ** 2 * line
    if abs(line.real) >= abs(line.imag):
        return "above" if off.imag > 0.0 else "below"
    return "ahead" if off.real > 0.0 else "back"


def _typed_lever(make: _Maker, n: int, drive: Drive) -> Drive:
    """The rod wins over a typed input, which is a few degrees off."""
    after = _lever(make, n, drive)
    own = after[0]
    held = complex(make.numbers[f"{n}.input.x"], make.numbers[f"{n}.input.z"])
    make.numbers[f"{n}.rod"] = abs(held - drive[1])
    off = cmath.exp(1j * math.radians(make.draw(-3, 3)))
    make.put(f"{n}.input", own + (held - own) * off)
    return after


def _lever(make: _Maker, n: int, drive: Drive) -> Drive:
    _, hole, v = drive
    rod = make.near(v) * make.sign() * make.draw(60, 200)
    held = make.put(f"{n}.input", hole + rod)
    pivot = make.put(f"{n}.pivot", make.arm(held, rod))
    turn = _dot(rod, v) / _dot(rod, 1j * (held - pivot))
    return _turning(make, n, pivot, turn)


def _near_end(make: _Maker, n: int, drive: Drive) -> float:
    """A hole's cable; returns the first pull."""
    _, hole, v = drive
    run = make.near(v) * make.draw(60, 200)
    make.put(f"{n}.ferrule", hole - run)
    make.numbers[f"{n}.slack"] = float(make.rng.choice([0.0, make.draw(0, 3)]))
    return _dot(run, v) / abs(run)


def _drum(make: _Maker, n: int, drive: Drive) -> float:
    pivot, hole, v = drive
    radius = make.numbers[f"{n}.drum"] = make.draw(20, 60)
    make.numbers[f"{n}.slack"] = float(make.rng.choice([0.0, make.draw(0, 3)]))
    return abs(v / (hole - pivot)) * radius


def _cable_lever(make: _Maker, n: int, drive: Drive, near: Any = _near_end) -> Drive:
    pull = near(make, n, drive)
    guide = make.put(
        f"{n}.end_ferrule", complex(make.draw(-300, 300), make.draw(-300, 300))
    )
    run = cmath.exp(1j * make.draw(-3, 3)) * make.draw(60, 200)
    held = make.put(f"{n}.input", guide + run)
    pivot = make.put(f"{n}.pivot", make.arm(held, run))
    turn = -abs(run) * pull / _dot(run, 1j * (held - pivot))
    return _turning(make, n, pivot, turn)


def _drum_lever(make: _Maker, n: int, drive: Drive) -> Drive:
    return _cable_lever(make, n, drive, near=_drum)


def _turning(make: _Maker, n: int, pivot: complex, turn: float) -> Drive:
    make.numbers[f"{n}.turn"] = make.draw(5, 60)
    make.senses[n] = math.copysign(1.0, turn)
    return make.output(n, pivot, turn)


def _quadrant(make: _Maker, n: int, drive: Drive, near: Any = _near_end) -> None:
    near(make, n, drive)
    make.put(f"{n}.pivot", complex(make.draw(-300, 300), make.draw(-300, 300)))
    make.numbers[f"{n}.radius"] = make.draw(15, 40)
    make.numbers[f"{n}.turn"] = make.draw(20, 90)
    make.words[f"{n}.sense"] = str(make.rng.choice(['"cw"', '"ccw"']))


def _drum_quadrant(make: _Maker, n: int, drive: Drive) -> None:
    _quadrant(make, n, drive, near=_drum)


def _cable(make: _Maker, n: int, drive: Drive) -> None:
    _near_end(make, n, drive)


def _drum_cable(make: _Maker, n: int, drive: Drive) -> None:
    _drum(make, n, drive)


def _dot(a: complex, b: complex) -> float:
    return (a.conjugate() * b).real


MAKE: dict[str, Make] = {
    "cylinder": _cylinder,
    "pull cylinder": _pull_cylinder,
    "on cylinder": _formed("on"),
    "depth cylinder": _formed("depth"),
    "proud cylinder": _formed("proud"),
    "pull on cylinder": _formed("on", -1.0),
    "pull depth cylinder": _formed("depth", -1.0),
    "pull proud cylinder": _formed("proud", -1.0),
    "lever": _lever,
    "reach lever": _reach_lever,
    "typed lever": _typed_lever,
    "cable lever": _cable_lever,
    "drum lever": _drum_lever,
    "quadrant": _quadrant,
    "drum quadrant": _drum_quadrant,
    "cable": _cable,
    "drum cable": _drum_cable,
}

TRAINS: tuple[tuple[str, ...], ...] = (
    ("cylinder",),
    ("pull cylinder",),
    ("lever",),
    ("lever", "cylinder"),
    ("lever", "lever", "pull cylinder"),
    ("cable",),
    ("drum cable",),
    ("cable lever",),
    ("cable lever", "cable lever"),
    ("drum lever", "cylinder"),
    ("lever", "cable lever", "cylinder"),
    ("cable lever", "cable lever", "cylinder"),
    ("quadrant",),
    ("drum quadrant",),
    ("lever", "quadrant"),
    ("lever", "cable"),
)

#: The same parts said in the other ways that a design file knows.
FORMS: tuple[tuple[str, ...], ...] = (
    ("on cylinder",),
    ("depth cylinder",),
    ("proud cylinder",),
    ("pull on cylinder",),
    ("pull depth cylinder",),
    ("pull proud cylinder",),
    ("reach lever", "cylinder"),
    ("typed lever", "on cylinder"),
    ("reach lever", "reach lever", "depth cylinder"),
)


def random_train(kinds: tuple[str, ...], seed: int) -> Train:
    """One pedal; hanging or standing, anywhere, pressed either way round."""
    rng = np.random.default_rng([seed, *(len(k) for k in kinds)])
    make = _Maker(rng)
    pivot = make.put("pivot", complex(make.draw(-200, 200), make.draw(-200, 600)))
    up = make.sign()
    sense = -up  # a pad above its pivot turns clockwise to go forward
    reach = make.near(1j * up, 50.0) * make.draw(150, 350)
    make.put("pad", pivot + reach)
    make.numbers["travel"] = abs(reach) * make.draw(0.25, 0.6)
    arm = make.draw(35, 90) * cmath.exp(1j * make.draw(-math.pi, math.pi))
    hole = make.put("clevis", pivot + arm)
    drive: Drive | None = (pivot, hole, 1j * sense * arm / abs(reach))
    for n, kind in enumerate(kinds, 1):
        if drive is None:
            raise ValueError(f"{kinds[n - 2]} drives nothing")
        drive = MAKE[kind](make, n, drive)
    if drive is not None:  # the last lever drives nothing
        for axis in "xz":
            del make.numbers[f"{len(kinds)}.output.{axis}"]
    return Train(
        kinds=kinds,
        numbers=make.numbers,
        words=make.words,
        sense=sense,
        senses=make.senses,
    )
