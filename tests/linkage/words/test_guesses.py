"""What a guess sways: no figure of show or sweep moves that it is said not to move."""

import re

import pytest

from linkage.design.spelling import renumber
from linkage.design.splice import splice
from linkage.design.values import Value
from linkage.loading import load_text
from linkage.units import out_of, trim
from linkage.words.show import show_text
from linkage.words.show_document import show_document
from linkage.words.sways import likely, on_metal
from linkage.words.sweep import sweep_text
from tests.linkage.design.samples import BRAKE

FULL = (
    BRAKE.replace("[35, 255]", "{ ahead = 35, up = 255, thick = 13 }")
    + """
[footwell]
floor = 3
bulkhead = 400
[pedal.brake.arm]
plate = 8
bores = { pivot = 20 }
mass = "0.7 kg"
[pedal.brake.spring]
kind = "extension"
on_arm = { from = "pivot", down = 100 }
fixed = [0, 500]
rate = "1.2 N/mm"
preload = "20 N"
[driver]
hip = { back = 900, up = 330 }
"""
)
QUADRANT = """
[pedal.throttle]
pivot = [120, 545]
pad = [35, 255]
clevis = [120, 645]
travel = 60
[[pedal.throttle.train]]
part = "quadrant"
pivot = [0, 0]
radius = 17
sense = "cw"
turn = 40
thick = 4
cable = { ferrule = [220, 650], slack = 1.5 }
"""
GUESSES = {
    "floor": ("floor = 3", 'floor = "about 3"'),
    "bulkhead": ("bulkhead = 400", 'bulkhead = "about 400"'),
    "stroke": ('stroke = "1.4 in"', 'stroke = "about 1.4 in"'),
    "short stroke": ('stroke = "1.4 in"', 'stroke = "about 0.9 in"'),
    "gap": ("free_play = 0.5", 'free_play = "about 0.5"'),
    "bore": ('bore = "3/4 in"', 'bore = "about 3/4 in"'),
    "travel": ("travel = 120", 'travel = "about 120"'),
    "tape": ("travel = 120", 'full = { tape = "about 119" }'),
    "pivot": ("[120, 545]", '["about 120", 545]'),
    "pad": ("ahead = 35", 'ahead = "about 35"'),
    "pad thick": ("thick = 13", 'thick = "about 13"'),
    "axis": ('axis = "forward"', 'axis = "forward, about 1 deg up"'),
    "plate": ("plate = 8", 'plate = "about 8"'),
    "bores": ("bores = { pivot = 20 }", 'bores = { pivot = "about 20" }'),
    "mass": ('"0.7 kg"', '"about 0.7 kg"'),
    "rate": ('"1.2 N/mm"', '"about 1.2 N/mm"'),
    "spring's end": ("fixed = [0, 500]", 'fixed = ["about 1", 500]'),
    "hip": ("back = 900", 'back = "about 900"'),
    "turn": ("turn = 40", 'turn = "about 40"'),
    "slack": ("slack = 1.5", 'slack = "about 1.5"'),
    "thick": ("thick = 4", 'thick = "about 4"'),
    "radius": ("radius = 17", 'radius = "about 17"'),
}


def _figures(text: str, pedal: str) -> list[list[float]]:
    """Return the numbers that show and sweep print, paragraph by paragraph."""
    design = load_text(text)
    shown = show_text(design, pedal).partition("  Guesses:")[0]
    parts = [" ".join(each.split()) for each in shown.splitlines()[2:]]
    parts = [each for each in parts if not each.startswith(("Cylinder:", "Quadrant:"))]
    swept = sweep_text(design, pedal).splitlines()[2:]
    return [
        [float(number) for number in re.findall(r"\d+(?:\.\d+)?", each)]
        for each in (*parts, *swept)
    ]


def _moved(text: str, guess: Value, out: float) -> str:
    number = trim(out_of(guess.nominal + out, guess.unit), 9)
    return splice(text, [renumber(text, guess, number)])


@pytest.mark.parametrize("which", GUESSES)
def test_nothing_moves_that_a_guess_is_said_not_to_move(which: str) -> None:
    """Show and sweep are read again with the guess more and less, as a user would."""
    old, new = GUESSES[which]
    pedal, plain = ("brake", FULL) if old in FULL else ("throttle", QUADRANT)
    assert old in plain
    text = plain.replace(old, new)
    design = load_text(text)
    (guess,) = design.guesses
    said = " ".join(show_text(design, pedal).partition("  Guesses:")[2].split())
    angle = guess.unit in ("mm", "in", "deg")
    size = likely(guess, on_metal(design)) if angle else 0.1 * guess.nominal
    base = _figures(text, pedal)
    for out in (size, -size):
        now = _figures(_moved(text, guess, out), pedal)
        same = [len(a) == len(b) for a, b in zip(base, now, strict=False)]
        moved = len(base) != len(now) or any(
            not alike
            or max((abs(x - y) for x, y in zip(a, b, strict=True)), default=0) > 0.6
            for alike, a, b in zip(same, base, now, strict=False)
        )
        if moved:
            assert "moves nothing" not in said, said
            assert "nothing in the motion" not in said, said
    assert not ("Not given" in said and "about" in said.partition("Not given")[2])
    taken = said.partition("Not given, so taken:")[2]
    assert ("plate 8" in taken) is (pedal == "throttle")
    assert "pivot 20" not in taken or pedal == "throttle"


@pytest.mark.parametrize(
    ("which", "change"),
    [("floor", 1.5), ("bulkhead", 5.0), ("pad thick", 5.0), ("stroke", 5.0)],
)
def test_a_figure_follows_its_guess_one_to_one(which: str, change: float) -> None:
    old, new = GUESSES[which]
    design = load_text(FULL.replace(old, new))
    (told,) = show_document(design, ["brake"])["pedals"][0]["guesses"]
    wanted = {
        "floor": "pad above the floor at rest",
        "bulkhead": "pad to the bulkhead at rest",
        "pad thick": "left behind its thickness at full",
        "stroke": "piston left at full",
    }[which]
    (found,) = [sway for sway in told["sways"] if sway["of"] == wanted]
    assert found["change"] == pytest.approx(change, abs=1e-6)
