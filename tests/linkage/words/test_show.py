"""A file read back: every length by own arithmetic, every line fit for a terminal."""

import cmath
import json
import math
import re
from pathlib import Path
from typing import Any

import pytest

from linkage.faults import DesignError
from linkage.loading import load, load_text
from linkage.templates import TEMPLATES
from linkage.templates.inch_file import in_inches
from linkage.words.show import show_text
from linkage.words.show_document import show_document

EXAMPLES = sorted((Path(__file__).parents[3] / "examples").glob("*.toml"))

BRAKE = """\
title = "Quillet two-seater"
units = "mm"

[footwell]
floor = 0
marks = { back = "the string at the scuttle lip", up = "the bare floor" }

[pedal.brake]
pivot  = { back = "118 +- 2", up = "546 +- 2" }
pad    = { back = "206 +- 3", up = "258 +- 3", thick = 13 }
clevis = { back = 127, up = 490 }
travel = 150

[[pedal.brake.train]]
part = "cylinder"
face = { ahead = 3, up = 489.5 }
depth = "about 11"
axis = "forward"
bore = "3/4 in"
stroke = "1.4 in"
free_play = 0.5
"""
PIVOT, PAD, HOLE, FACE = -118 + 546j, -206 + 258j, -127 + 490j, 3 + 489.5j
SEAT = FACE + 11
ROD = abs(SEAT - HOLE)


def _turned(point: complex, travel: float) -> complex:
    """Where a point of the arm is after some travel: pressing turns it anticlockwise."""
    turn = travel / abs(PAD - PIVOT)
    return PIVOT + (point - PIVOT) * cmath.exp(1j * turn)


def _past(travel: float) -> float:
    """How far the rod is past square to the arm, by the law of cosines, deg."""
    hole = _turned(HOLE, travel)
    end = hole.real + math.sqrt(ROD**2 - (hole.imag - SEAT.imag) ** 2)
    b, c = abs(HOLE - PIVOT), abs(complex(end, SEAT.imag) - PIVOT)
    return math.degrees(math.acos((b**2 + ROD**2 - c**2) / (2 * b * ROD))) - 90.0


def _square() -> float:
    low, high = 0.0, 150.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if _past(middle) < 0.0 else (low, middle)
    return low


@pytest.fixture(scope="module")
def facts() -> dict[str, Any]:
    (pedal,) = show_document(load_text(BRAKE), ["brake"])["pedals"]
    assert isinstance(pedal, dict)
    return pedal


def test_every_tape_length_by_own_arithmetic(facts: dict[str, Any]) -> None:
    full = _turned(PAD, 150.0)
    rod = (SEAT - HOLE) / ROD
    wanted = {
        "pivot to pad": abs(PAD - PIVOT),
        "pivot to hole": abs(HOLE - PIVOT),
        "hole to pad": abs(HOLE - PAD),
        "hole to cylinder face": abs(FACE - HOLE),
        "pivot to cylinder face": abs(FACE - PIVOT),
        "rod, hole to its end": ROD,
        "pivot square to the rod": abs(((HOLE - PIVOT).conjugate() * rod).imag),
        "pad above the bare floor": 258.0,
        "pad to the string at the scuttle lip": 206.0,
        "  left behind its thickness": 193.0,
    }
    at_rest = {t["what"]: t["rest"] for t in facts["tape"]}
    assert at_rest.pop("pad, rest to full, straight") is None
    assert at_rest == pytest.approx(wanted)
    at_full = {t["what"]: t["full"] for t in facts["tape"] if t["full"] is not None}
    assert at_full == pytest.approx(
        {
            "pad above the bare floor": full.imag,
            "pad to the string at the scuttle lip": -full.real,
            "  left behind its thickness": -full.real - 13.0,
            "pad, rest to full, straight": abs(full - PAD),
        }
    )


def test_tape_must_agree_within_the_readings_own_tolerance(
    facts: dict[str, Any],
) -> None:
    """Worst of the lengths: pivot +- 2 and pad +- 3 give root of 4 + 9, so 4 in whole.

    The rod rests on a guess, so it judges no reading.
    """
    assert facts["agree_within"] == math.ceil(math.sqrt(2**2 + 3**2))
    assert [t["what"] for t in facts["tape"] if t["on_guess"]] == [
        "rod, hole to its end"
    ]


def test_what_it_says_of_the_motion(facts: dict[str, Any]) -> None:
    assert facts["kind"] == "hanging"
    assert complex(*facts["pad_from_pivot"]) == PAD - PIVOT
    assert complex(*facts["hole_from_pivot"]) == HOLE - PIVOT
    way = (_turned(HOLE, 1e-6) - _turned(HOLE, -1e-6)) / 2e-6
    assert complex(*facts["hole_way"]) == pytest.approx(way)
    assert facts["arm_turn"] == pytest.approx(
        math.degrees(150.0 / abs(PAD - PIVOT)), rel=1e-12
    )
    (link,) = facts["links"]
    assert link["pushes"] is True
    assert link["past_square_rest"] == pytest.approx(_past(0.0))
    assert link["past_square_full"] == pytest.approx(_past(150.0))
    assert link["square_at"] == pytest.approx(_square())
    assert link["length"] == pytest.approx(ROD)


def test_the_text_says_the_same_numbers() -> None:
    text = show_text(load_text(BRAKE, "brake.toml"), "brake")
    flat = " ".join(text.split())
    assert "Marks: back from the string at the scuttle lip, up from the bare" in flat
    assert "The pad is 88 behind and 288 below the pivot." in flat
    assert "the rod pushes, the piston goes forward, level." in flat
    assert f"The rod is {-_past(0.0):.1f} deg short of square to the arm" in flat
    assert f"comes square after {_square():.0f} of pad: the good side." in flat
    assert f"The rod is {ROD:.0f} hole to end, with a gap of 0.5" in flat
    assert re.search(r"pivot +118 +546 +\+- 2\n", text)
    assert re.search(r"pad, face +206 +258 +\+- 3\n", text)
    assert re.search(r"cylinder face +3 ahead +489.5\n", text)
    assert re.search(r"pivot to pad +301 +11 27/32 in\n", text)
    assert re.search(r"hole to pad +245 +9 21/32 in\n", text)
    assert "One of them out by more than 4?" in text
    assert (
        'cylinder, depth "about 11": 5 out changes the rod length by 5. Nothing else '
        "moves by 0.1."
    ) in flat
    assert "Not given, so taken: plate 8, steel, bores pivot 20 and hole 8." in flat
    assert "-" not in re.sub(r"\+-|two-seater|-{2,}", "", text)  # no minus sign


def test_a_hole_past_square_is_the_bad_side() -> None:
    for back in (109, 116):
        hole = complex(-back, 490)
        past = math.degrees(cmath.phase((PIVOT - hole) / (SEAT - hole))) - 90.0
        text = show_text(load_text(BRAKE.replace("= 127", f"= {back}")), "brake")
        flat = " ".join(text.split())
        assert f"The rod is {past:.1f} deg PAST square to the arm already" in flat


def test_free_values_are_read_as_near_middle_or_first() -> None:
    text = BRAKE.replace('back = "118 +- 2"', 'back = "100 to 150 near 118"')
    text = text.replace("up = 489.5", 'up = "475 to 505"')
    text = text.replace('bore = "3/4 in"', 'bore = { one_of = ["0.70 in", "3/4 in"] }')
    flat = " ".join(show_text(load_text(text), "brake").split())
    assert (
        "Still free, and read as: pivot, back 118 (near); cylinder face, up 490 (the "
        "middle); cylinder, bore 0.70 in (the first choice)."
    ) in flat
    (facts,) = show_document(load_text(text), ["brake"])["pedals"]
    assert facts["free"] == [
        "brake.pivot.back",
        "brake.train.1.face.up",
        "brake.train.1.bore",
    ]


def test_an_inch_file_is_read_back_as_its_tape_has_it() -> None:
    text = """\
units = "in"
[footwell]
marks = { back = "the string", up = "the floor" }
[pedal.brake]
pivot = { back = "4 5/8", up = "21 1/2" }
pad = { back = "8 1/8", up = "10 1/4" }
clevis = { from = "pivot", down = 2.2, back = "3/8" }
travel = "5 1/2"
[[pedal.brake.train]]
part = "cylinder"
seat = { ahead = "1/2", up = "19 1/4" }
axis = "forward"
"""
    shown = show_text(load_text(text), "brake")
    assert re.search(r"pivot +4 5/8 +21 1/2\n", shown)
    assert re.search(r"hole +5 +19 5/16 +counted from pivot", shown)
    assert re.search(r"cylinder rod end +1/2 ahead +19 1/4\n", shown)
    tape = math.hypot(3.5, 11.25)
    assert re.search(rf"pivot to pad +11 25/32 in +{tape * 25.4:.0f} mm", shown)
    assert "no gap to the piston is given" in " ".join(shown.split())


HOSTILE = [
    "\\u001b[31mred\\u001b[0m",
    "two\\nlines\\tand a tab",
    "x" * 5000,
    "\\u202eright to left",
    "' \\\" {} %s {0}",
    " ",
]


@pytest.mark.parametrize("title", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_words_stay_words(title: str) -> None:
    text = BRAKE.replace("Quillet two-seater", title)
    text = text.replace("the string at the scuttle lip", title)
    text = text.replace(
        'part = "cylinder"', f'part = "cylinder"\nname = "{title[:60]}"'
    )
    try:
        design = load_text(text)
    except DesignError:  # a name that the reader refuses
        design = load_text(text.replace(f'name = "{title[:60]}"', ""))
    shown = show_text(design, "brake")
    assert all(sign.isprintable() or sign == "\n" for sign in shown)
    assert max(map(len, shown.splitlines())) <= 88


def _pedals() -> list[tuple[str, str]]:
    return [(path.name, name) for path in EXAMPLES for name in load(path).pedals]


@pytest.mark.parametrize(("file", "pedal"), _pedals())
def test_every_example_fits_a_terminal_and_has_no_sign(file: str, pedal: str) -> None:
    design = load(next(path for path in EXAMPLES if path.name == file))
    text = show_text(design, pedal)
    assert max(map(len, text.splitlines())) <= 88
    assert "nan" not in text
    assert not re.search(r"(?<![+\w])-\d", text)
    document = json.dumps(show_document(design, [pedal]))
    assert "NaN" not in document


@pytest.mark.parametrize("template", TEMPLATES.values(), ids=list(TEMPLATES))
def test_every_starting_file_reads_well(template: Any) -> None:
    text = show_text(load_text(template.text, "x.toml"), template.pedal)
    assert "Guesses: none" in text
    assert "the good side" in " ".join(text.split())
    assert "twice: " in text


def test_a_bell_crank_and_a_far_end_are_told() -> None:
    crank = next(path for path in EXAMPLES if path.name == "brake-floor.toml")
    flat = " ".join(show_text(load(crank), "brake").split())
    assert "Floor pedal." in flat
    assert "the crank turns clockwise (front of the car to the right)" in flat
    assert "The rod behind the crank is" in flat
    assert "Rod 1 is 144 hole to hole, rod 2 is" in flat
    lever = next(path for path in EXAMPLES if path.name == "throttle-lever.toml")
    text = show_text(load(lever), "throttle")
    assert "Beyond the cable, from its own marks" in text
    assert "lever input to its ferrule" in text


def test_a_pedal_that_cannot_stand_is_said_as_everywhere() -> None:
    with pytest.raises(DesignError, match="behind its hole"):
        show_text(load_text(BRAKE.replace('"forward"', '"back"')), "brake")


def test_a_rod_that_does_not_reach_is_a_limit_not_a_crash() -> None:
    text = BRAKE.replace(
        "face = { ahead = 3, up = 489.5 }", "on = { up = 800 }\nrod = 50"
    )
    text = text.replace('depth = "about 11"\n', "")
    said = " ".join(show_text(load_text(text), "brake").split())
    assert "LIMIT: on its rest stop it cannot be put together: " in said
    assert "after 0" not in said


def test_springs_friction_and_leg_are_read_back() -> None:
    """Their ends on the tape, by plain trigonometry; guesses are said to be guesses."""
    text = (
        (EXAMPLES[0].parent / "brake-hanging.toml").read_text(encoding="utf-8")
        + """
[driver]
hip = { back = 1020, up = 300 }
[pedal.brake.friction]
seal = "30 N"
pin = 9.5
[pedal.brake.spring]
kind = "extension"
on_arm = { from = "pivot", reach = 100, angle = "down" }
fixed = { back = 230, up = 480 }
rate = "1.2 N/mm"
preload = "40 N"
"""
    )
    design = load_text(text)
    said = " ".join(show_text(design, "brake").split())
    eye, fixed = complex(-118, 448), complex(-230, 480)
    pivot, radius = complex(-118, 548), abs(complex(-207, 262) - complex(-118, 548))
    at_full = pivot + (eye - pivot) * cmath.exp(150j / radius)
    ends = [abs(at - fixed) for at in (eye, at_full)]
    force = 40.0 + 1.2 * (ends[1] - ends[0])
    assert f"Spring 1: extension, 40 N at rest, {force:.1f} N at full" in said
    assert f"{ends[0]:.0f} apart at rest, {ends[1]:.0f} at full" in said
    assert (
        "pivots 0.15 (a guess) on 16 (a guess), rod pins 0.15 (a guess) on 9.5" in said
    )
    assert "seals hold back 30 N" in said
    assert "The leg pushes" in said


CABLED = """\
[pedal.throttle]
pivot = [120, 545]
pad = [35, 255]
clevis = [120, 645]
travel = 60
[[pedal.throttle.train]]
part = "PART"
pivot = [0, 0]
thick = 6
KEYS
cable = { ferrule = [220, 650], ENDS name = "long", thread = "M6", adjusts = "8 mm" }
"""
CABLE_ENDS = {
    "lever": ("input = [0, 22]", "end_ferrule = [130, 22],"),
    "quadrant": ('radius = 17\nsense = "cw"', ""),
}


@pytest.mark.parametrize("part", CABLE_ENDS)
def test_notes_of_a_cable_and_thick_parts_are_read_back(part: str) -> None:
    keys, ends = CABLE_ENDS[part]
    text = CABLED.replace("PART", part).replace("KEYS", keys).replace("ENDS", ends)
    said = show_text(load_text(text), "throttle")
    assert f"{part.title()}: thick 6 mm (0.2362 in)." in said
    assert f'cable to the {part} "long": thread M6, adjusts 8 mm.' in said


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize(
    ("bore", "said"),
    [
        ('"0.70 in"', "bore 0.70 in (17.78 mm)"),
        ('"3/4 in"', "bore 3/4 in (19.05 mm)"),
        ('"19 mm"', "bore 19 mm (0.748 in)"),
        ("'about ¾\"'", "bore about 3/4 in (19.05 mm)"),
        ('{ one_of = ["0.70 in", "3/4 in"] }', "bore one of 0.70 in, 3/4 in"),
    ],
)
def test_a_bore_is_read_back_as_typed(bore: str, said: str, units: str) -> None:
    """As it was written, and in both systems; never a neighbouring size."""
    text = BARE.replace('"mm"', f'"{units}"').replace('"3/4 in"', bore)
    shown = show_text(load_text(text), "brake")
    assert f"{said}, stroke 1.4 in (35.56 mm)" in " ".join(shown.split())


BARE = """\
units = "mm"
[pedal.brake]
pivot = ["120 mm", "545 mm"]
pad = ["35 mm", "255 mm"]
clevis = ["106 mm", "484.5 mm"]
travel = "120 mm"
[[pedal.brake.train]]
part = "cylinder"
seat = ["233 mm", "487 mm"]
axis = "forward"
bore = "3/4 in"
stroke = "1.4 in"
"""


def test_a_pad_that_passes_the_mark_is_ahead_of_it_and_not_minus() -> None:
    said = show_text(load_text(BRAKE.replace("travel = 150", "travel = 230")), "brake")
    full = _turned(PAD, 230.0).real
    (line,) = [row for row in said.splitlines() if "pad to the string" in row]
    assert re.search(
        rf" {round(2.0 * full) / 2.0:g} ahead at full, 206 at rest", line
    ), line
    assert not re.search(r"-\d", line)


def test_a_rod_has_one_length_in_all_of_the_text() -> None:
    inches = in_inches(TEMPLATES["hanging-brake"].text)
    text = re.sub(r"depth     = \S+", 'depth = "29/64"', inches)
    said = show_text(load_text(text), "brake")
    (length,) = re.findall(r"The rod is ([\d /]+) hole to end", " ".join(said.split()))
    (line,) = [row for row in said.splitlines() if "rod, hole to its end" in row]
    assert length.endswith("/64")
    assert f" {length} in " in line
