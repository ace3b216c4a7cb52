"""Starting files: each is a pedal that a builder would fit, and asks in its order."""

import math
import re

import numpy as np
import pytest

from linkage.design.records import OffString
from linkage.faults import DesignError
from linkage.loading import load_text
from linkage.sweeping import Sweep, sweep
from linkage.templates import TEMPLATES, Template
from linkage.templates.answers import answered, refused
from solvers.jet import value

KINDS = pytest.mark.parametrize("template", TEMPLATES.values(), ids=list(TEMPLATES))
HYDRAULIC = pytest.mark.parametrize("kind", ["hanging-brake", "floor-brake", "clutch"])
#: Ratio and pad travel (mm) of the trade: common practice, no source.
RATIO = {
    "hanging-brake": (5.0, 7.0),
    "floor-brake": (4.5, 6.5),
    "clutch": (4.5, 6.5),
    "throttle": (1.5, 4.0),
}
TRAVEL = {
    "hanging-brake": (100.0, 160.0),
    "floor-brake": (100.0, 160.0),
    "clutch": (100.0, 165.0),
    "throttle": (40.0, 75.0),
}


def _swept(template: Template) -> Sweep:
    return sweep(load_text(template.text), template.pedal, positions=101)


@KINDS
def test_it_is_a_pedal_of_the_trade(template: Template) -> None:
    swept = _swept(template)
    low, high = RATIO[template.kind]
    known = swept["ratio"][~np.isnan(swept["ratio"])]
    assert low <= known.min()
    assert known.max() <= high
    assert np.ptp(known) / known[0] < 0.10
    low, high = TRAVEL[template.kind]
    assert low <= swept["travel"][-1] <= high
    assert np.abs(swept["crank_angle"] - 90.0).max() < 25.0
    assert swept.limit is None


@HYDRAULIC
def test_its_rod_is_in_line_and_its_piston_has_the_stroke(kind: str) -> None:
    """3 deg at most, and square in the working part: common practice, no source."""
    template = TEMPLATES[kind]
    swept = _swept(template)
    assert np.abs(swept["rod_angle"]).max() < 1.5
    working = swept["crank_angle"][swept["travel"] < 0.6 * swept["travel"][-1]]
    assert working.min() < 90.0 < working.max()
    assert swept.ends == ()
    cylinder = swept.rest.pedal.train[0]
    left = float(getattr(cylinder, "stroke").nominal) - swept["stroke"][-1]  # noqa: B009
    if kind == "clutch":  # its stop comes before the piston's end
        assert 2.0 < left < 8.0
    else:  # the piston comes to its end when a hose has burst
        assert 0.0 <= left < 0.2


def test_the_throttle_opens_fully_and_no_further() -> None:
    swept = _swept(TEMPLATES["throttle"])
    assert 81.5 < swept["quadrant_turn"][-1] <= 82.0
    assert [end.what for end in swept.ends] == ["cable slack taken up"]


@KINDS
def test_its_ratio_is_that_of_lever_arms_on_paper(template: Template) -> None:
    """Pad to pivot over pivot square to the rod, times cos of the rod's lean."""
    design = load_text(template.text)
    swept = sweep(design, template.pedal, positions=2)
    places = swept.rest.places
    pivot, pad, hole = (
        complex(value(places.point(f"{template.pedal}.{name}")))
        for name in ("pivot", "pad", "clevis")
    )
    if template.kind == "throttle":
        far = complex(value(places.point("throttle.train.1.cable.ferrule")))
        axis = far - hole
    else:
        far, axis = (
            complex(value(places.point(f"{template.pedal}.train.1.seat"))),
            1 + 0j,
        )
    rod = (far - hole) / abs(far - hole)
    square = abs(((hole - pivot).conjugate() * rod).imag)
    lean = math.cos(abs(np.angle(rod / (axis / abs(axis)))))
    assert swept["ratio"][0] == pytest.approx(abs(pad - pivot) * lean / square)


@KINDS
def test_its_numbers_are_marked_in_measuring_order(template: Template) -> None:
    design = load_text(template.text)
    marks = [
        int(n)
        for n in re.findall(r"# .*?\((\d)\)|\((\d)\)", template.text)
        for n in n
        if n
    ]
    lines = template.text.splitlines()
    asked = [design.values[ask.path].line for ask in template.asks]
    assert asked == sorted(asked)
    for n, line in enumerate(asked, 1):
        assert f"({n})" in lines[line - 1].partition("#")[2]
    assert max(marks) == len(template.asks) == 9


@KINDS
def test_it_says_nothing_that_needs_a_second_tape_reading(template: Template) -> None:
    design = load_text(template.text)
    hole = design.pedals[template.pedal].points["clevis"]
    if isinstance(hole, OffString):
        assert hole.start == f"{template.pedal}.pivot"
    else:
        assert getattr(hole, "base", None) == "throttle.pivot"
    assert design.guesses == ()
    assert "-" not in re.sub(r"#.*|\"[^\"]*\"", "", template.text)  # no minus sign


@KINDS
def test_nothing_answered_changes_nothing(template: Template) -> None:
    assert answered(template, {}).text == template.text


def test_answers_change_their_numbers_alone() -> None:
    template = TEMPLATES["hanging-brake"]
    answers = {
        "brake.pivot.back": "4 5/8 in",
        "brake.pivot.up": "540 +- 2",
        "brake.clevis.ahead": "−3",
        "brake.train.1.face.ahead": "5 back",
        "brake.train.1.depth": "10 to 14 near 11",
    }
    design = answered(template, answers)
    changed = [
        (a, b)
        for a, b in zip(
            template.text.splitlines(), design.text.splitlines(), strict=True
        )
        if a != b
    ]
    assert [b for _, b in changed] == [
        a.replace(old, new).replace(older, newer)
        for (a, _), (old, new, older, newer) in zip(
            changed,
            [
                ("118", '"4 5/8 in"', "546", '"540 +- 2"'),
                ("ahead = 7.8", "back = 3", "", ""),
                ("ahead = 3", "back = 5", "", ""),
                ("= 11 ", '= "10 to 14 near 11" ', "", ""),
            ],
            strict=True,
        )
    ]
    assert design.values["brake.pivot.back"].nominal == 4.625 * 25.4
    assert design.values["brake.pivot.up"].give == 2.0
    assert design.values["brake.clevis.back"].nominal == 3.0
    assert design.values["brake.train.1.face.back"].nominal == 5.0
    face = sweep(design, "brake").rest.places.point("brake.train.1.face")
    assert complex(value(face)).real == -5.0


@pytest.mark.parametrize(
    ("path", "answer", "wrong"),
    [
        ("brake.pivot.back", "1,5", "a dot: 1.5"),
        ("brake.pivot.back", "x" * 500, "too long"),
        ("brake.pivot.back", '"\\', "not a number"),
        ("brake.pivot.back", "5 up", "back or ahead"),
        ("brake.train.1.depth", "3 back", "a number alone"),
        ("brake.train.1.depth", "9000", ""),
        ("brake.pivot.back", "5 kg", "mass"),
        ("brake.pivot.back", "1\n2 = 3", "not a number"),
        ("brake.pivot.back", "back", ""),
    ],
)
def test_an_answer_that_cannot_be_used_has_its_sentence(
    path: str, answer: str, wrong: str
) -> None:
    faults = refused(TEMPLATES["hanging-brake"], path, answer)
    assert len(faults) == 1
    assert wrong in f"{faults[0].wrong} {faults[0].right}"
    with pytest.raises(DesignError):
        answered(TEMPLATES["hanging-brake"], {path: answer})
