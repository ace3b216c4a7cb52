"""Problems with a known answer: planted from a layout that works, of every kind of train.

A layout is drawn at random about a base that works; what it does becomes the targets,
and ranges are laid round some of its numbers. So an answer exists.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from linkage.design.records import Design
from linkage.loading import load_text
from linkage.placing.judge import judge, obstacle, standing_of

Numbers = dict[str, float]

POINTS = ("pivot", "pad", "clevis")

#: Each kind: numbers by key, in mm and degrees, and the train that they stand in.
ARM = {
    "pivot.x": 120.0,
    "pivot.z": 545.0,
    "pad.x": 35.0,
    "pad.z": 255.0,
    "clevis.x": 106.0,
    "clevis.z": 484.5,
    "travel": 110.0,
}
DIRECT = """
[[pedal.brake.train]]
part = "cylinder"
seat = [{seat.x}, {seat.z}]
axis = {axis}
stroke = 60
free_play = 0.5
"""
PULL = """
[[pedal.brake.train]]
part = "cylinder"
seat = [{seat.x}, {seat.z}]
axis = {axis}
pull = true
stroke = 60
"""
ROD = """
[[pedal.brake.train]]
part = "cylinder"
on = [{on.x}, {on.z}]
rod = {rod}
axis = {axis}
"""
LEVER = """
[[pedal.brake.train]]
part = "lever"
pivot = [{lever.x}, {lever.z}]
input = [{input.x}, {input.z}]
"""
CRANK = (
    LEVER
    + """output = [{output.x}, {output.z}]
[[pedal.brake.train]]
part = "cylinder"
seat = [{seat.x}, {seat.z}]
axis = {axis}
"""
)
CABLE = """
[[pedal.brake.train]]
part = "cable"
ferrule = [{ferrule.x}, {ferrule.z}]
slack = {slack}
"""
QUADRANT = """
[[pedal.brake.train]]
part = "quadrant"
pivot = [0, 0]
radius = {radius}
sense = "ccw"
cable = {{ ferrule = [{ferrule.x}, {ferrule.z}], slack = {slack} }}
"""
CABLED = """
[[pedal.brake.train]]
part = "lever"
pivot = [0, 0]
input = [{input.x}, {input.z}]
cable = {{ ferrule = [{ferrule.x}, {ferrule.z}], end_ferrule = [{end.x}, {end.z}] }}
"""
DEEP = """
[[pedal.brake.train]]
part = "cylinder"
face = [{{face.x}}, {{face.z}}]
{how} = {{{how}}}
axis = {{axis}}
free_play = 0.5
"""
SECOND = """output = [{output.x}, {output.z}]
[[pedal.brake.train]]
part = "lever"
pivot = [{second.x}, {second.z}]
input = [{held.x}, {held.z}]
output = [{far.x}, {far.z}]
"""
SEATED = """
[[pedal.brake.train]]
part = "cylinder"
seat = [{seat.x}, {seat.z}]
axis = {axis}
"""
OUT = "output = [{output.x}, {output.z}]"
METAL = CRANK.replace(
    "input = [{input.x}, {input.z}]",
    'input = {{ from = "own pivot", reach = {reach}, side = "above" }}\nrod = {rod}',
)
DRUM = """
[[pedal.brake.train]]
part = "lever"
pivot = [0, 0]
input = [{input.x}, {input.z}]
cable = {{ drum = {drum}, slack = {slack}, end_ferrule = [{end.x}, {end.z}] }}
"""

Spec = tuple[str, str]  # what, and where


@dataclass(frozen=True, kw_only=True, slots=True)
class Kind:
    """One kind of train: its text, its numbers, and what can be asked of it."""

    text: str
    numbers: Numbers
    asks: tuple[Spec, ...]


CYLINDER: tuple[Spec, ...] = (
    ("stroke", "full"),
    ("ratio", "rest"),
    ("ratio", "60 %"),
    ("rod angle", "full"),
    ("rod angle", ""),
    ("crank angle", "40 %"),
    ("ratio", "0 to 70 mm"),
    ("mean ratio", "full"),
)
LEVERED: tuple[Spec, ...] = (
    ("lever turn", "full"),
    ("transmission angle", "rest"),
    ("transmission angle", ""),
    ("crank angle", "50 %"),
)
PULLED: tuple[Spec, ...] = (
    ("cable pull", "full"),
    ("ratio", "rest"),
    ("crank angle", "full"),
    ("ratio", ""),
    ("crank angle", "30 mm"),
)
SWUNG: tuple[Spec, ...] = (*CYLINDER[:3], *CYLINDER[5:])
LEVER_AT = {"lever.x": 230.0, "lever.z": 440.0, "input.x": 236.0, "input.z": 486.0}
OUTPUT_AT = {"output.x": 270.0, "output.z": 442.0}
#: Beyond the output of that lever, which goes down.
BELOW = {**OUTPUT_AT, "seat.x": 272.0, "seat.z": 330.0, "axis": -90.0}
ABOVE = {"ferrule.x": 268.0, "ferrule.z": 560.0, "slack": 1.5}
FAR_LEVER = {"input.x": 5.0, "input.z": 52.0, "end.x": 90.0, "end.z": 45.0}
FERRULE = {"ferrule.x": -60.0, "ferrule.z": 500.0, "slack": 1.5}

KINDS: dict[str, Kind] = {
    "direct": Kind(
        text=DIRECT,
        numbers={"seat.x": 233.0, "seat.z": 487.0, "axis": 0.0},
        asks=CYLINDER,
    ),
    "pull": Kind(
        text=PULL,
        numbers={"seat.x": -40.0, "seat.z": 487.0, "axis": 0.0},
        asks=CYLINDER,
    ),
    "rod": Kind(
        text=ROD,
        numbers={"on.x": 240.0, "on.z": 487.0, "rod": 128.0, "axis": 0.0},
        asks=CYLINDER,
    ),
    "lever": Kind(text=LEVER, numbers=LEVER_AT, asks=LEVERED),
    "crank": Kind(
        text=CRANK,
        numbers={
            **LEVER_AT,
            **BELOW,
        },
        asks=(*CYLINDER[:2], CYLINDER[3], *LEVERED[1:]),
    ),
    "cable": Kind(text=CABLE, numbers=FERRULE, asks=PULLED),
    "quadrant": Kind(
        text=QUADRANT,
        numbers={**FERRULE, "radius": 24.0},
        asks=(*PULLED, ("lever turn", "full")),
    ),
    "cabled": Kind(
        text=CABLED,
        numbers={
            "ferrule.x": -60.0,
            "ferrule.z": 500.0,
            **FAR_LEVER,
        },
        asks=(*PULLED[:3], ("lever turn", "full")),
    ),
    "depth": Kind(
        text=DEEP.format(how="depth"),
        numbers={"face.x": 222.0, "face.z": 487.0, "depth": 11.0, "axis": 0.0},
        asks=CYLINDER,
    ),
    "proud": Kind(
        text=DEEP.format(how="proud"),
        numbers={"face.x": 250.0, "face.z": 487.0, "proud": 17.0, "axis": 0.0},
        asks=CYLINDER,
    ),
    "reach, rod and side": Kind(
        text=METAL,
        numbers={
            "lever.x": 230.0,
            "lever.z": 440.0,
            "reach": 46.5,
            "rod": 130.0,
            **BELOW,
        },
        asks=(*CYLINDER[:2], CYLINDER[3], *LEVERED[1:]),
    ),
    "two levers": Kind(
        text=LEVER + SECOND + SEATED,
        numbers={
            **LEVER_AT,
            **OUTPUT_AT,
            "second.x": 320.0,
            "second.z": 338.0,
            "held.x": 272.0,
            "held.z": 340.0,
            "far.x": 322.0,
            "far.z": 290.0,
            "seat.x": 420.0,
            "seat.z": 288.0,
            "axis": 0.0,
        },
        asks=(*SWUNG, *LEVERED[1:3]),
    ),
    "drum": Kind(
        text=DRUM,
        numbers={**FAR_LEVER, "drum": 40.0, "slack": 1.5},
        asks=(
            *PULLED[:2],
            ("lever turn", "full"),
            ("lever turn", "40 %"),
            ("cable pull", "50 %"),
        ),
    ),
    "lever and cable": Kind(
        text=LEVER + OUT + CABLE,
        numbers={**LEVER_AT, **OUTPUT_AT, **ABOVE},
        asks=(*PULLED, *LEVERED[:3]),
    ),
    "lever and quadrant": Kind(
        text=LEVER + OUT + QUADRANT,
        numbers={**LEVER_AT, **OUTPUT_AT, **ABOVE, "radius": 24.0},
        asks=(*PULLED, *LEVERED[:3]),
    ),
    "cabled lever and cylinder": Kind(
        text=CABLED + OUT + SEATED,
        numbers={
            "ferrule.x": -60.0,
            "ferrule.z": 500.0,
            **FAR_LEVER,
            "output.x": 40.0,
            "output.z": 3.0,
            "seat.x": 42.0,
            "seat.z": -100.0,
            "axis": -90.0,
        },
        asks=SWUNG,
    ),
}


@dataclass(frozen=True, kw_only=True, slots=True)
class Planted:
    """A question whose answer is known.

    Attributes
    ----------
    text : str
        The design file.
    layout : mapping
        What it was made from: an answer.
    spans : mapping
        From where to where each free value may go.
    """

    kind: str
    text: str
    layout: Numbers
    spans: dict[str, tuple[float, float]]


def arm_text(texts: dict[str, str]) -> str:
    points = "\n".join(f"{p} = [{texts[p + '.x']}, {texts[p + '.z']}]" for p in POINTS)
    return f"[pedal.brake]\n{points}\ntravel = {texts['travel']}\n"


def filled(kind: Kind, texts: dict[str, str]) -> str:
    """Put spellings into a design's text."""
    train = kind.text
    for key, spelling in texts.items():
        train = train.replace(f"{{{key}}}", spelling)
    return arm_text(texts) + train.replace("{{", "{").replace("}}", "}")


def drawn(kind: Kind, rng: np.random.Generator, spread: float = 12.0) -> Numbers:
    """Draw a layout that works, at random about its base; two decimals."""
    base = {**ARM, **kind.numbers}
    while True:
        layout = {
            key: round(
                number
                + rng.uniform(-1.0, 1.0)
                * (4.0 if key == "axis" else 1.0 if key == "slack" else spread),
                2,
            )
            for key, number in base.items()
        }
        text = filled(kind, {key: f"{number}" for key, number in layout.items()})
        rest = standing_of(load_text(text), "brake")
        if obstacle(rest) is None:
            return layout


def measured(text: str, asks: Sequence[Spec]) -> list[float]:
    """Return what a layout has of what is asked (ends of stretches: the smallest)."""
    wanted = "".join(target(what, at, "least = -1e6") for what, at in asks)
    wanted = wanted.replace("-1e6", "-1000000")
    judged = judge(standing_of(load_text(text + wanted), "brake"))
    return [np.nan if each.got is None else each.got for each in judged]


def target(what: str, at: str, wish: str) -> str:
    place = f'at = "{at}"\n' if at else ""
    return f'[[pedal.brake.target]]\nof = "{what}"\n{place}{wish}\n'


def plant(
    name: str,
    rng: np.random.Generator,
    *,
    free: int,
    wants: int,
    width: tuple[float, float] = (8.0, 30.0),
    tight: float = 1.0,
    asks: tuple[Spec, ...] = (),
) -> Planted:
    """Return a question that a drawn layout answers.

    Parameters
    ----------
    free, wants : int
        How many values are free, and how many targets there are (as far as the kind
        has so many).
    width : (float, float)
        Ranges are so wide, mm; angles a quarter of it.
    tight : float
        Multiplies what counts as met.
    asks : tuple of Spec
        What may be asked for, in place of what the kind has.
    """
    kind = KINDS[name]
    every = asks or kind.asks
    while True:
        layout = drawn(kind, rng)
        plain = filled(kind, {key: f"{v}" for key, v in layout.items()})
        chosen = sorted(rng.choice(len(every), min(wants, len(every)), replace=False))
        picked = [every[i] for i in chosen]
        got = measured(plain, picked)
        if not np.isnan(got).any():
            break
    keys = [key for key in layout if key not in ("pad.x", "pad.z")]
    loose = set(rng.choice(keys, min(free, len(keys)), replace=False).tolist())
    texts = {
        key: spelt(key, number, rng, width) if key in loose else f"{number}"
        for key, number in layout.items()
    }
    wishes = [
        target(what, at, wish(what, at, value, rng, tight))
        for (what, at), value in zip(picked, got, strict=True)
    ]
    return Planted(
        kind=name,
        text=filled(kind, texts) + "".join(wishes),
        layout=layout,
        spans={key: span(texts[key]) for key in layout if key in loose},
    )


def span(spelling: str) -> tuple[float, float]:
    """Read a range back."""
    low, _, high = spelling.strip('"').partition(" to ")
    return float(low), float(high)


def spelt(
    key: str, number: float, rng: np.random.Generator, width: tuple[float, float]
) -> str:
    """Lay a range round a number, which lies anywhere in it."""
    wide = rng.uniform(*width)
    if key == "axis":
        wide *= 0.25
    low = number - wide * rng.uniform(0.05, 0.95)
    least = {"slack": 0.0, "radius": 4.0, "drum": 4.0}.get(key, -np.inf)
    if low < least:
        low, wide = least, max(wide, number - least + 0.1)
    return f'"{low:.2f} to {low + wide:.2f}"'


def wish(
    what: str, at: str, value: float, rng: np.random.Generator, tight: float = 1.0
) -> str:
    """Ask for what a layout has: a value at a place, a bound over a stretch."""
    angle = "angle" in what or "turn" in what
    number = float(np.degrees(value)) if angle else value
    if not at or " to " in at:
        if what == "rod angle":
            return "most = 12"
        return f"least = {number - rng.uniform(0.005, 0.05) * tight * abs(number):.4f}"
    within = 0.02 if "ratio" in what else 0.2
    return f"is = {number:.6f}\nwithin = {within * tight:g}"


def read(planted: Planted) -> Design:
    return load_text(planted.text, "planted.toml")
