"""Planted questions are answered, and the answers are held against sweeps."""

import contextlib
import re

import numpy as np
import pytest

from linkage.design.records import Target
from linkage.faults import DesignError
from linkage.loading import load_text
from linkage.placing.place import place
from linkage.placing.records import Answer, Placement
from linkage.sweeping import sweep
from tests.cases_count import many
from tests.linkage.placing.asked import HANGING, SHARED, asked
from tests.linkage.placing.planted import KINDS, Planted, plant, read

COLUMN = {
    "stroke": "stroke",
    "ratio": "ratio",
    "rod angle": "rod_angle",
    "crank angle": "crank_angle",
    "cable pull": "cable_pull",
}


def seen(text: str, target: Target) -> np.ndarray:
    """Return what a sweep of the written file shows where a target looks."""
    design = load_text(text)
    travel = design.pedals["brake"].full.value.nominal
    scale = travel if target.at.share else 1.0
    count = 1 if target.at.single else 801
    places = np.linspace(target.at.low * scale, target.at.high * scale, count)
    swept = sweep(design, "brake", at=places.tolist())
    assert swept.limit is None
    assert not any(end.what == "cylinder full" for end in swept.ends)
    if target.of == "mean ratio":
        part = design.pedals["brake"].train[-1]
        play = getattr(part, "free_play", None)
        return np.asarray(
            swept["travel"] / (swept["stroke"] + (play.nominal if play else 0.0))
        )
    if target.of == "lever turn":
        turning = [name for name in swept.columns if name.endswith("_turn")]
        return swept[turning[-1]]
    if target.of == "transmission angle":
        driven = [name for name in swept.columns if name.startswith("transmission")]
        return swept[driven[-1]]
    return swept[COLUMN[target.of]]


def assert_holds(text: str, target: Target) -> None:
    """Judge a target apart from the program's own judge: on a fine sweep."""
    got = seen(text, target)
    angle = "angle" in target.of or "turn" in target.of
    scale = 180.0 / np.pi if angle else 1.0
    eps = 1e-6
    if target.exact is not None:
        assert target.within is not None
        assert np.all(np.abs(got - scale * target.exact) <= scale * target.within + eps)
    size = np.abs(got) if target.of == "rod angle" else got
    if target.least is not None:
        assert size.min() >= scale * target.least - eps
    if target.most is not None:
        assert size.max() <= scale * target.most + eps


def assert_answers(planted: Planted, placement: Placement, answer: Answer) -> None:
    design = load_text(answer.text)
    assert all(value.kind == "fixed" for value in design.values.values())
    for free in placement.group.frees:
        assert free.low is not None
        assert free.high is not None
        assert free.low <= answer.values[free.path] <= free.high
        assert design.values[free.path].nominal == answer.values[free.path]
    assert all(judged.met for judged in answer.judged)
    for target in read(planted).pedals["brake"].targets:
        assert_holds(answer.text, target)


@pytest.mark.parametrize("name", KINDS)
def test_planted_questions_are_answered(name: str) -> None:
    """Five to eight values free, two to five targets; tight ranges every other time."""
    for seed in range(many(26)):
        rng = np.random.default_rng([seed, len(name)])
        planted = plant(
            name,
            rng,
            free=int(rng.integers(5, 9)),
            wants=int(rng.integers(2, 6)),
            width=(3.0, 8.0) if seed % 2 else (8.0, 30.0),
        )
        placement = place(read(planted))
        assert placement.status == "placed", planted.text
        for answer in placement.answers:
            assert_answers(planted, placement, answer)


@pytest.mark.parametrize("name", KINDS)
def test_wide_ranges_and_tight_targets_are_answered(name: str) -> None:
    """Ranges of 40 to 120 mm, up to seven targets met to a tenth of the usual."""
    for seed in range(many(10)):
        planted = wide(name, np.random.default_rng([1, seed, len(name)]))
        placement = place(read(planted))
        assert placement.status == "placed", planted.text
        assert_answers(planted, placement, placement.answers[0])


def wide(name: str, rng: np.random.Generator) -> Planted:
    """Draw until the ranges are such as a file may have."""
    while True:
        free, wants = int(rng.integers(5, 9)), int(rng.integers(3, 8))
        planted = plant(
            name, rng, free=free, wants=wants, width=(40.0, 120.0), tight=0.1
        )
        with contextlib.suppress(DesignError):
            read(planted)
            return planted


def test_the_same_seed_gives_the_same_answer() -> None:
    planted = plant("direct", np.random.default_rng(5), free=6, wants=4)
    one, two = place(read(planted)), place(read(planted))
    assert one.answers == two.answers
    other = place(read(planted), seed=3)
    assert other.status == "placed"


def test_marked_out_in_half_millimetres() -> None:
    """Every length is a whole step, and the file as marked is what holds."""
    planted = plant("direct", np.random.default_rng(8), free=5, wants=2)
    placement = place(read(planted), mark=0.5)
    assert placement.status == "placed"
    answer = placement.answers[0]
    for free in placement.group.frees:
        if free.unit == "mm":
            assert (answer.values[free.path] / 0.5) % 1.0 == pytest.approx(0.0)
    assert_answers(planted, placement, answer)


def test_only_what_was_free_is_written() -> None:
    planted = plant("crank", np.random.default_rng(2), free=6, wants=3)
    placement = place(read(planted))
    before = planted.text.splitlines()
    after = placement.answers[0].text.splitlines()
    changed = {
        i + 1 for i, (a, b) in enumerate(zip(before, after, strict=True)) if a != b
    }
    assert changed == {
        i + 1
        for i, line in enumerate(before)
        if " to " in line and "at" not in line.split()
    }
    assert changed == set(placement.answers[0].lines)


def test_near_stays_and_the_rest_is_settled_by_hand() -> None:
    """Square and in line at 65 mm, so the lever rule gives the hole's reach.

    There pad and hole move in the ratio of their radii, the hole along the axis:
    reach = radius / 5.5. In line and square: the hole is straight below the pivot, so
    the axis lies one reach below it. At rest the hole is turned back by 65 / radius.
    """
    placement = asked(HANGING)
    answer = placement.answers[0]
    radius = np.hypot(206.0 - 118.0, 546.0 - 258.0)
    reach, turn = radius / 5.5, 65.0 / radius
    exact = answer.exact
    assert exact["brake.pivot.back"] == pytest.approx(118.0, abs=1e-9)
    assert answer.values["brake.pivot.back"] == 118.0
    assert exact["brake.clevis.back"] == pytest.approx(reach * np.sin(turn), abs=0.03)
    assert exact["brake.clevis.down"] == pytest.approx(reach * np.cos(turn), abs=0.03)
    assert exact["brake.train.1.face.up"] == pytest.approx(546.0 - reach, abs=0.03)
    assert answer.free_directions == 1
    assert answer.moves == 0.0
    assert len(placement.answers) == 1


def test_a_wish_is_brought_to_its_best() -> None:
    """The longest stroke is had with the hole as far from the pivot as it may be."""
    text = re.sub(r"(?s)\[\[pedal.brake.target.*", "", HANGING)
    text += '[[pedal.brake.target]]\nof = "stroke"\nat = "full"\nprefer = "large"\n'
    text = text.replace(" near 118", "")
    held = asked(text).answers[0].judged[0].got
    assert held == pytest.approx(30.5, rel=0.01)  # all that the cylinder has
    text = text.replace("stroke = 30.5", "stroke = 60")
    answer = asked(text).answers[0]
    assert answer.values["brake.clevis.down"] == pytest.approx(65.0, abs=0.5)
    text = text.replace('"large"', '"small"')
    answer = asked(text).answers[0]
    assert answer.values["brake.clevis.down"] == pytest.approx(45.0, abs=0.5)
    assert answer.free_directions == 4


def test_first_wish_before_second() -> None:
    """A second wish may cost the first one per cent of its best, no more."""
    both = re.sub(r"(?s)\[\[pedal.brake.target.*", "", HANGING).replace(" near 118", "")
    large = '[[pedal.brake.target]]\nof = "stroke"\nat = "full"\nprefer = "large"\n'
    lean = '[[pedal.brake.target]]\nof = "rod angle"\nprefer = "small"\n'
    alone = asked(both + large).answers[0].judged[0].got
    one = asked(both + large + lean).answers[0]
    two = asked(both + lean + large).answers[0]
    assert alone is not None
    assert one.judged[0].got is not None
    assert two.judged[1].got is not None
    assert 0.985 * alone <= one.judged[0].got <= alone * 1.001
    assert one.judged[0].got > two.judged[1].got
    assert abs(two.judged[0].got or 9.0) < abs(one.judged[1].got or 0.0)


def test_choices_are_families_of_their_own() -> None:
    text = HANGING.replace(
        'bore = "0.70 in"', 'bore = { one_of = ["0.70 in", "3/4 in"] }'
    )
    placement = asked(text)
    bores = [answer.values["brake.train.1.bore"] for answer in placement.answers]
    assert sorted(bores) == pytest.approx([17.78, 19.05])
    assert (
        '"0.70 in"' in placement.answers[0].text
        or '"3/4 in"' in placement.answers[0].text
    )


def test_a_choice_of_holes_is_made_by_name() -> None:
    """Only the hole that the lever rule asks for can give the ratio."""
    text = """
[pedal.brake]
pivot = [0, 500]
pad = [0, 200]
clevis = { one_of = ["high", "low"] }
travel = 60
[pedal.brake.holes]
high = [0, 460]
low = [0, 440]
[[pedal.brake.train]]
part = "cylinder"
seat = [130, "430 to 470"]
axis = "forward"
[[pedal.brake.target]]
of = "ratio"
at = "rest"
is = 5
within = 0.1
"""
    placement = asked(text)
    assert [a.names["brake.clevis"] for a in placement.answers] == ["low"]
    assert 'clevis = "low"' in placement.answers[0].text


def test_pedals_on_one_shaft_are_placed_together() -> None:
    placement = asked(SHARED)
    assert placement.group.pedals == ("brake", "clutch")
    assert placement.status == "placed"
    answer = placement.answers[0]
    design = load_text(answer.text)
    brake, clutch = sweep(design, "brake"), sweep(design, "clutch")
    assert brake["crank_angle"][0] == pytest.approx(80.0, abs=0.1)
    assert clutch["ratio"][0] == pytest.approx(5.0, abs=0.02)
    assert answer.free_directions == 0


def test_pedals_that_share_nothing_need_a_name() -> None:
    apart = SHARED.replace(
        'pivot = "shaft"\npad = [35, 250]', "pivot = [120, 545]\npad = [35, 250]"
    )
    apart = apart.replace("is = 80", "is = 83")
    with pytest.raises(DesignError, match="--pedal brake or --pedal clutch"):
        place(load_text(apart))
    assert place(load_text(apart), pedal="clutch").group.pedals == ("clutch",)
    assert place(load_text(apart), pedal="brake").group.pedals == ("brake",)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (r' to \d+( near 118)?"', '"', "nothing in it is free"),
        (r"(?s)\[\[pedal.brake.target.*", "", "no target"),
        (r'of = "ratio"', 'of = "cable pull"', "no cable pull"),
        (r'at = "0 to 120 mm"', 'at = "0 to 120 %"', "beyond the full stop"),
        (r"full = ", 'locked = ["pivot"]\nfull = ', "is locked"),
    ],
)
def test_questions_that_cannot_be_asked(old: str, new: str, said: str) -> None:
    with pytest.raises(DesignError, match=said):
        place(load_text(re.sub(old, new, HANGING)))


def test_a_pedal_that_is_not_there_and_a_step_that_is_none() -> None:
    with pytest.raises(DesignError, match="no pedal"):
        place(load_text(HANGING), pedal="klutch")
    with pytest.raises(DesignError, match="no step"):
        place(load_text(HANGING), mark=0.0)


def test_a_linkage_that_cannot_make_its_travel() -> None:
    """The cylinder is full long before the full stop, whatever is chosen."""
    placement = place(load_text(HANGING.replace("stroke = 30.5", "stroke = 5")))
    assert placement.status == "no answer found"
    assert "travel" in placement.why
    assert placement.answers == ()


def test_a_mark_too_coarse_says_so() -> None:
    text = HANGING.replace("within = 0.05", "within = 0.0005").replace(
        "within = 0.2", "within = 0.002"
    )
    placement = place(load_text(text), mark=5.0)
    assert placement.status == "no answer found"
    assert "--mark" in placement.why


def test_the_bar_never_goes_back() -> None:
    shares: list[float] = []
    place(load_text(HANGING), progress=shares.append)
    assert shares == sorted(shares)
    assert shares[-1] == 1.0
