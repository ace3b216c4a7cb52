"""Targets of a pressed brake: against single questions, exact slopes, and the search."""

import re
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from linkage.car.asking import Answer, Stated, ask
from linkage.car.rig import rig_of
from linkage.design.records import Target
from linkage.faults import DesignError
from linkage.loading import load_text
from linkage.motion.rest import at_rest
from linkage.motion.run import move
from linkage.places import Places
from linkage.placing.document import placement_json
from linkage.placing.judge import judge, standing_of
from linkage.placing.layouts import Free, layouts
from linkage.placing.place import place
from linkage.placing.wishes import wishes_of
from linkage.quantities.asked import target_faults
from linkage.words.speech import Speech
from linkage.words.targets import target_words, wanted_words
from solvers.jet import Jet, seed
from tests.documents import ROOT

G0 = 9806.65
MANUAL, BOOSTED, BAR = (
    (ROOT / "examples" / f"brake-{name}.toml").read_text(encoding="utf-8")
    for name in ("manual", "boosted", "bar")
)


def target(of: str, at: str, wish: str = "least = 0", **more: str) -> str:
    lines = "".join(f'{key} = "{text}"\n' for key, text in more.items())
    return f'\n[[pedal.brake.target]]\nof = "{of}"\nat = "{at}"\n{lines}{wish}\n'


ZERO = {
    "foot force": 'least = "0 N"',
    "pressure": 'least = "0 MPa"',
    "deceleration": 'least = "0 g0"',
}


def got(text: str, of: str, at: str, **more: str) -> float | None:
    """Return what the last target of a file gets."""
    design = load_text(text + target(of, at, ZERO.get(of, "least = 0"), **more))
    assert not list(target_faults(design, design.pedals["brake"]))
    return judge(standing_of(design, "brake"))[-1].got


def answer(text: str, of: Stated, size: float, **how: Any) -> Answer:
    return ask(rig_of(load_text(text), "brake", **how), of, size, swayed=False)


STATES: dict[str, tuple[Stated, float]] = {
    "200 N": ("foot", 200.0),
    "45 lbf": ("foot", 45.0 * 4.4482216152605),
    "4 MPa": ("pressure", 4.0),
    "0.5 g0": ("deceleration", 0.5),
}
READ: dict[str, Callable[[Answer], Any]] = {
    "pad travel": lambda found: found.state.foot.travel[0],
    "foot force": lambda found: found.state.foot.effort[0],
    "pressure": lambda found: min(
        float(size[0]) for size in found.state.fluid.pressures.values()
    ),
    "deceleration": lambda found: found.state.car.z[0] * G0,  # type: ignore[union-attr]
}
CASES = [
    (MANUAL, "", {}),
    (BOOSTED, "", {}),
    (BOOSTED, "booster dead", {"dead": True}),
    (BAR, "", {}),
]


@pytest.mark.parametrize("at", STATES)
@pytest.mark.parametrize("of", READ)
@pytest.mark.parametrize(("text", "case", "how"), CASES, ids=["m", "b", "d", "bar"])
def test_a_target_gets_what_a_question_answers(
    text: str, case: str, how: dict[str, Any], of: str, at: str
) -> None:
    want = READ[of](answer(text, *STATES[at], **how))
    more = {"case": case} if case else {}
    assert got(text, of, at, **more) == pytest.approx(want, rel=1e-7)


@pytest.mark.parametrize("text", [MANUAL, BOOSTED, BAR], ids=["m", "b", "bar"])
@pytest.mark.parametrize("lost", ["front", "rear"])
def test_with_a_circuit_lost(text: str, lost: str) -> None:
    found = answer(text, "foot", 250.0, lost=lost)
    for of in ("pad travel", "deceleration"):
        told = got(text, of, "250 N", case=f"{lost} lost")
        if found.missed:
            assert told is None
        else:
            assert told == pytest.approx(READ[of](found), rel=1e-7)


def test_at_a_place_of_the_travel_as_the_columns_of_a_sweep() -> None:
    from linkage.car.along import along

    columns = along(load_text(BOOSTED), "brake", [60.0])
    assert got(BOOSTED, "foot force", "60 mm") == pytest.approx(
        columns["foot_force"].values[0], rel=1e-9
    )
    assert got(BOOSTED, "pressure", "60 mm", which="rear") == pytest.approx(
        columns["rear_pressure"].values[0], rel=1e-9
    )


def test_any_quantity_can_be_asked_where_a_state_has_brought_the_pedal() -> None:
    travel = got(MANUAL, "pad travel", "0.5 g0")
    assert travel is not None
    for of in ("stroke", "ratio", "crank angle"):
        there = got(MANUAL, of, f"{travel:.12f} mm")
        assert got(MANUAL, of, "0.5 g0") == pytest.approx(there, rel=1e-9)


def test_what_cannot_be_had_has_no_value() -> None:
    assert got(MANUAL, "pad travel", "40 MPa") is None
    assert got(MANUAL, "foot force", "2 g0") is None
    assert got(MANUAL, "deceleration", "90 kN") is None


FREED = re.sub(
    r"(?m)^clevis += .*$",
    'clevis = { line = ["pivot", "pad"], along = "44 to 58", ahead = "2 to 11" }',
    MANUAL,
    count=1,
)


def problem(*targets: str) -> Any:
    design = load_text(FREED + "".join(targets))
    frees = [Free.of(each) for each in design.values.values() if each.kind == "free"]
    wishes = wishes_of(design, ("brake",))[-len(targets) :]
    return layouts(design, ["brake"], frees, wishes, numbers={}, names={})


def test_slopes_of_the_travel_are_those_of_the_implicit_function() -> None:
    """dt/du = -(d end / du) / (d end / dt), with exact derivatives of the linkage."""
    found = problem(target("pad travel", "4 MPa"))
    u = np.array([[0.2, 0.3], [0.6, 0.9], [0.5, 0.1]])
    y, j = found.jacobian(u)
    for x, row, slope in zip(found.at(u), y[:, -1], j[:, -1], strict=True):
        numbers = {
            free.path: seed(np.array([[size]]), i, 2)
            for i, (free, size) in enumerate(zip(found.frees, x, strict=True))
        }
        design = found.gauges[0].design
        rest = at_rest(Places(design, numbers), design.pedals["brake"])
        end = move(rest, Jet(np.array([[row]]), 1.0)).end()
        want = -np.ravel(end.g) / np.ravel(end.t) * found.widths
        np.testing.assert_allclose(slope, want, rtol=1e-6)


def test_many_layouts_are_the_same_as_one_after_another() -> None:
    """But for the arm's own weight, of which many take the file's: 0.2 N at most."""
    found = problem(
        target("pad travel", "4 MPa"), target("foot force", "4 MPa", ZERO["foot force"])
    )
    u = np.random.default_rng(3).uniform(size=(7, 2))
    y = found(u)
    for x, row in zip(found.at(u), y, strict=True):
        values = {f.path: float(v) for f, v in zip(found.frees, x, strict=True)}
        judged = judge(standing_of(found.gauges[0].design, "brake", values))[-2:]
        assert row[-2] == pytest.approx(judged[0].got, rel=1e-9)
        assert row[-1] == pytest.approx(judged[1].got, abs=0.2)


def test_place_aims_at_an_effort_and_at_a_travel() -> None:
    text = FREED + target("foot force", "7 MPa", 'most = "390 N"')
    text += target("pad travel", "0.8 g0", "most = 80")
    placed = place(load_text(text))
    assert placed.status == "placed"
    written = placed.answers[0].text
    assert answer(written, "pressure", 7.0).state.foot.effort[0] <= 390.0
    assert answer(written, "deceleration", 0.8).state.foot.travel[0] <= 80.0
    rows = {row["of"]: row for row in placement_json(placed)["answers"][0]["targets"]}
    assert (rows["foot force"]["unit"], rows["pad travel"]["unit"]) == ("N", "mm")
    assert rows["foot force"]["wanted"] == {"most": 390.0}


def test_it_is_said_with_its_unit_and_case() -> None:
    text = BOOSTED + target(
        "deceleration", "400 N", 'least = "0.25 g0"', case="booster dead"
    )
    wish: Target = load_text(text).pedals["brake"].targets[-1]
    assert target_words(wish) == "deceleration at 400 N, booster dead"
    assert wanted_words(wish, Speech("mm")) == "0.25 g0 at least"


NONE = (ROOT / "examples" / "brake-hanging.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("text", "asked", "says"),
    [
        (NONE, target("foot force", "7 MPa", ZERO["foot force"]), "its circuits"),
        (
            MANUAL,
            target("foot force", "7 MPa", ZERO["foot force"], case="booster dead"),
            "no booster",
        ),
        (MANUAL, target("pad travel", "60 mm"), "it is that of a state"),
        (
            MANUAL,
            target("pressure", "0 to 60 mm", ZERO["pressure"]),
            "told at one place",
        ),
        (
            MANUAL,
            target("pressure", "60 mm", ZERO["pressure"], which="left"),
            'no circuit "left"',
        ),
        (BOOSTED, target("pad travel", "60 N", case="left lost"), 'no circuit "left"'),
        (
            re.sub(r"\[vehicle\][^\[]*", "", MANUAL),
            target("pad travel", "0.5 g0"),
            "no [vehicle]",
        ),
    ],
)
def test_what_a_pedal_has_not(text: str, asked: str, says: str) -> None:
    design = load_text(text + asked)
    (fault,) = target_faults(design, design.pedals["brake"])
    assert says in fault.wrong
    assert fault.line == design.pedals["brake"].targets[-1].line


def test_a_free_gap_is_refused() -> None:
    text = re.sub(r"free_play += .*", 'free_play = "0.3 to 1"', MANUAL, count=1)
    design = load_text(text + target("pad travel", "4 MPa"))
    (fault,) = target_faults(design, design.pedals["brake"])
    assert "which is free" in fault.wrong


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        (target("stroke", "60 mm", case="booster dead"), "of the bare mechanism"),
        (target("pad travel", "60 N", case="all dead"), '"all dead" is no case'),
        (target("foot force", "7 MPa", "least = 300"), "needs its unit"),
        (target("pad travel", "0 N"), "a length belongs here"),
        (target("pad travel", "about 60 N"), "a length belongs here"),
    ],
)
def test_what_cannot_be_read(asked: str, says: str) -> None:
    with pytest.raises(DesignError, match=re.escape(says)):
        load_text(BOOSTED + asked)


def test_a_bar_at_its_stop_gives_nothing_more() -> None:
    """As `budget` says of the same push: the bar is at its stop before it."""
    text = re.sub(r"(?m)^tilt += .*$", 'tilt = "0.45 deg"', BAR, count=1)
    found = answer(text, "foot", 300.0)
    assert found.missed == "bar at its stop before that"
    assert got(text, "pressure", "300 N") is None
    assert got(text, "pad travel", "300 N") is None
    light = answer(text, "foot", 0.5 * float(found.state.foot.effort[0]))
    if not light.missed:
        force = float(light.state.foot.effort[0])
        assert got(text, "pad travel", f"{force:.9f} N") == pytest.approx(
            light.state.foot.travel[0], rel=1e-6
        )
