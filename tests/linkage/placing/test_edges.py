"""Questions at the edge: no train, nothing but choices, slack, sharp turns."""

import numpy as np
import pytest

from linkage.design.frees import groups, open_paths
from linkage.loading import load_text
from linkage.motion.ends import find_ends
from linkage.placing.judge import judge, obstacle, standing_of
from linkage.placing.place import place
from linkage.sweeping import sweep
from linkage.words.place import placement_text
from tests.linkage.placing.asked import SHARED, problem_of
from tests.linkage.placing.planted import target

HEAD = """
[pedal.brake]
pivot = [120, 545]
pad = [35, 255]
clevis = {clevis}
travel = 100
"""
FREE = '[106, "480 to 490"]'
SLACK = """
[[pedal.brake.train]]
part = "lever"
pivot = [0, 0]
input = [5, 52]
output = [50, 3]
cable = { ferrule = [-60, 500], end_ferrule = [90, 45], slack = 2 }
[[pedal.brake.train]]
part = "cylinder"
seat = [52, -120]
axis = "down"
"""


def head(clevis: str = FREE) -> str:
    return HEAD.replace("{clevis}", clevis)


def test_a_pedal_without_a_train_by_the_law_of_cosines() -> None:
    """Hole and pad are on one arm: their distance fixes the hole on its line."""
    text = head('["100 to 110", 484]') + target(
        "distance", "full", 'between = ["pad", "clevis"]\nis = 240\nwithin = 0.05'
    )
    answer = place(load_text(text)).answers[0]
    x = answer.values["brake.clevis.x"]
    assert np.hypot(x - 35.0, 484.0 - 255.0) == pytest.approx(240.0, abs=0.05)


def test_nothing_but_choices() -> None:
    text = (
        head('{ one_of = ["high", "low"] }')
        + "[pedal.brake.holes]\nhigh = [106, 490]\nlow = [106, 480]\n"
        + '[[pedal.brake.train]]\npart = "cylinder"\nseat = [233, 487]\n'
        + 'axis = "forward"\nbore = { one_of = ["0.7 in", "3/4 in"] }\n'
        + target("ratio", "rest", "most = 5")
    )
    placement = place(load_text(text))
    assert [a.names["brake.clevis"] for a in placement.answers] == ["low", "low"]
    assert [a.free_directions for a in placement.answers] == [0, 0]


def test_a_ratio_is_judged_where_there_is_one() -> None:
    """Slack comes first: the smallest ratio is looked for behind it."""
    text = head() + SLACK + target("ratio", "", "least = 1")
    answer = place(load_text(text)).answers[0]
    swept = sweep(load_text(answer.text), "brake", positions=4001)
    assert np.isnan(swept["ratio"][0])
    assert answer.judged[0].got == pytest.approx(np.nanmin(swept["ratio"]), rel=1e-4)


def test_the_rows_see_the_brink_of_slack_as_the_judge_does() -> None:
    text = head() + SLACK + target("ratio", "", "least = 1\nmost = 1000")
    problem = problem_of(load_text(text))
    rows = problem(np.array([[0.3]]))[0]
    x = float(problem.at(np.array([[0.3]]))[0, 0])
    swept = sweep(
        load_text(text), "brake", positions=20001, values={"brake.clevis.z": x}
    )
    ratio = swept["ratio"][~np.isnan(swept["ratio"])]
    found = rows[problem.owner == 0]
    assert found.min() == pytest.approx(ratio.min(), rel=1e-3)
    assert found.max() == pytest.approx(ratio.max(), rel=1e-3)
    assert found[0] == pytest.approx(ratio[0], rel=1e-3)


def test_no_ratio_at_rest_in_slack() -> None:
    text = head() + SLACK + target("ratio", "rest", "is = 5")
    placement = place(load_text(text))
    assert placement.status == "conflict"
    (conflict,) = placement.conflicts
    assert "slack comes first" in conflict.proof
    assert conflict.clashes[0].would_do is None


TWO_CABLES = SLACK.partition('[[pedal.brake.train]]\npart = "cylinder"')[0] + (
    '[[pedal.brake.train]]\npart = "lever"\npivot = [0, 0]\ninput = [0, 40]\n'
    "cable = { ferrule = [50, 120], end_ferrule = [100, 40], slack = 1 }\n"
)


@pytest.mark.parametrize("of", ["ratio", "mean ratio", "ratio change"])
@pytest.mark.parametrize("end", [SLACK, TWO_CABLES], ids=["cylinder", "cable"])
def test_slack_ahead_of_the_last_part_hides_every_ratio(of: str, end: str) -> None:
    """Up to where the first cable is tight; the last one's own slack hides nothing."""
    text = head('[106, "484 to 485"]') + end + target(of, "2 mm", "most = 1000")
    placement = place(load_text(text))
    assert placement.status != "placed"
    rest = standing_of(load_text(text), "brake")
    assert judge(rest)[0].got is None
    taut = {each.part: each.travel for each in find_ends(rest, 100.0)}["train.1"]
    assert taut > 2.0
    at = [0.0, taut - 1e-6, taut + 1e-6, 100.0]
    ratio = sweep(load_text(text), "brake", at=at)["ratio"]
    assert np.isnan(ratio).tolist() == [True, True, False, False]


@pytest.mark.parametrize("end", [SLACK, TWO_CABLES], ids=["cylinder", "cable"])
def test_without_a_ratio_at_rest_there_is_none_to_depart_from(end: str) -> None:
    text = head() + end + target("ratio change", "full", "most = 1000")
    placement = place(load_text(text))
    assert placement.status == "conflict"
    assert placement.conflicts[0].proof.startswith("there is no ratio at rest")


def test_a_stretch_that_begins_in_slack_says_where_it_is_judged_from() -> None:
    text = head() + TWO_CABLES + target("ratio", "", "least = 1")
    placement = place(load_text(text))
    rest = standing_of(load_text(placement.answers[0].text), "brake")
    taut = {each.part: each.travel for each in find_ends(rest, 100.0)}["train.1"]
    said = " ".join(placement_text(placement).split())
    assert f"There is no ratio before {taut:.1f} of pad" in said
    behind = text.replace('of = "ratio"\n', 'of = "ratio"\nat = "full"\n')
    assert "There is no ratio" not in placement_text(place(load_text(behind)))


CHANGING = """
[[pedal.brake.train]]
part = "cylinder"
seat = [233, "{z}"]
axis = "forward"
stroke = 60
"""


@pytest.mark.parametrize("z", ["470 to 471", "530 to 531"])
@pytest.mark.parametrize(
    "wish", ["most = 90", "least = -90", "is = 0\nwithin = 90", 'prefer = "small"']
)
def test_a_ratio_change_is_the_one_farthest_from_none(z: str, wish: str) -> None:
    """One signed number for a whole stretch, whatever is wanted of it."""
    text = head("[106, 484.5]") + CHANGING.replace("{z}", z)
    answer = place(load_text(text + target("ratio change", "", wish))).answers[0]
    ratio = sweep(load_text(answer.text), "brake", positions=4001)["ratio"]
    change = 100.0 * (ratio / ratio[0] - 1.0)
    farthest = change[np.argmax(np.abs(change))]
    assert answer.judged[0].got == pytest.approx(farthest, abs=1e-4)


def test_a_falling_ratio_is_caught_by_least() -> None:
    """A change of that sign is within any ``most`` above 0: limits are signed."""
    text = head("[106, 484.5]") + CHANGING.replace("{z}", "530 to 531")
    bare = place(load_text(text + target("ratio change", "", 'prefer = "small"')))
    fall = bare.answers[0].judged[0].got
    assert fall is not None
    assert fall < -1.0
    for wish, status in (("most = 0.5", "placed"), ("least = -0.5", "conflict")):
        asked = place(load_text(text + target("ratio change", "", wish)))
        assert asked.status == status


def test_a_sign_lost_is_told() -> None:
    text = head() + (
        '[[pedal.brake.train]]\npart = "cylinder"\nseat = [233, 487]\naxis = "back"\n'
    )
    placement = place(load_text(text + target("stroke", "full", "least = 20")))
    assert placement.status == "no answer found"
    assert "behind its hole" in placement.why


def test_what_a_pedal_rests_on() -> None:
    design = load_text(SHARED)
    assert open_paths(design, "brake") == {"point.shaft.x"}
    assert open_paths(design, "clutch") == {"point.shaft.x", "clutch.clevis.z"}
    assert [group.pedals for group in groups(design)] == [("brake", "clutch")]


def test_extremes_are_found_between_grid_points() -> None:
    """The judge's extreme against a sweep a hundred times finer."""
    text = head("[106, 484.5]") + (
        '[[pedal.brake.train]]\npart = "cylinder"\nseat = [233, 487]\n'
        'axis = "forward"\n'
    )
    text += target("rod angle", "", "most = 9") + target("ratio", "", "least = 1")
    text += target("ratio", "10 to 90 mm", "most = 99")
    rest = standing_of(load_text(text), "brake")
    assert obstacle(rest) is None
    lean, low, high = (each.got for each in judge(rest))
    swept = sweep(load_text(text), "brake", positions=40001)
    inner = (swept["travel"] >= 10.0) & (swept["travel"] <= 90.0)
    assert abs(np.degrees(lean or 0.0)) == pytest.approx(
        np.abs(swept["rod_angle"]).max(), rel=1e-7
    )
    assert low == pytest.approx(swept["ratio"].min(), rel=1e-8)
    assert high == pytest.approx(swept["ratio"][inner].max(), rel=1e-8)


@pytest.mark.parametrize("seed", range(3))
def test_rows_have_exact_derivatives(seed: int) -> None:
    """Against central differences, extremes over stretches and free travel too."""
    text = head('["100 to 110", "480 to 490"]').replace(
        "travel = 100", 'travel = "90 to 110"'
    )
    text += (
        '[[pedal.brake.train]]\npart = "cylinder"\nseat = ["225 to 240", 487]\n'
        'axis = "-3 to 3"\nstroke = 60\nfree_play = 0.5\n'
    )
    for what, at, wish in (
        ("stroke", "full", "is = 20"),
        ("ratio change", "0 to 70 mm", "most = 5"),
        ("rod angle", "", "most = 3"),
        ("crank angle", "20 to 60 %", "least = 80"),
        ("mean ratio", "50 %", "is = 5"),
    ):
        text += target(what, at, wish)
    problem = problem_of(load_text(text))
    u = np.random.default_rng(seed).uniform(0.1, 0.9, (4, problem.size))
    _, j = problem.jacobian(u)
    for i in range(problem.size):
        step = np.zeros(problem.size)
        step[i] = 1e-5
        slope = (problem(u + step) - problem(u - step)) / 2e-5
        np.testing.assert_allclose(j[:, :, i], slope, rtol=2e-3, atol=2e-3)


def test_a_place_beyond_the_full_stop_has_no_value() -> None:
    """With the travel free, a target at 100 mm needs at least so much of it."""
    text = head().replace("travel = 100", 'travel = "90 to 110"')
    problem = problem_of(
        load_text(text + target("distance", "100 mm", DISTANCE + "least = 1"))
    )
    rows = problem(np.array([[0.5, 0.4], [0.5, 0.6]]))[:, -1]
    assert np.isnan(rows).tolist() == [True, False]


DISTANCE = 'between = ["pad", "pivot"]\n'


def test_a_cylinder_overrun_is_an_obstacle() -> None:
    """21 mm of rod end at full, less half a millimetre of play."""
    text = head("[106, 484.5]") + (
        '[[pedal.brake.train]]\npart = "cylinder"\nseat = [233, 487]\n'
        'axis = "forward"\nfree_play = 0.5\nstroke = 30\n'
    )
    design = load_text(text)
    stroke = sweep(design, "brake")["stroke"][-1]
    assert obstacle(standing_of(design, "brake")) is None
    for more, full in ((0.01, False), (-0.01, True)):
        tried = load_text(text.replace("stroke = 30", f"stroke = {stroke + more:.4f}"))
        said = obstacle(standing_of(tried, "brake"))
        assert (said is not None and "full" in said) == full


def test_one_value_everywhere() -> None:
    """``is`` over a stretch: the farthest value decides, and both sides are held."""
    text = head('["100 to 112", "470 to 495"]') + (
        '[[pedal.brake.train]]\npart = "cylinder"\nseat = [233, "475 to 495"]\n'
        'axis = "forward"\n'
    )
    text += target("ratio", "", "is = 5.4\nwithin = 0.2")
    answer = place(load_text(text)).answers[0]
    ratio = sweep(load_text(answer.text), "brake", positions=2001)["ratio"]
    farthest = ratio[np.argmax(np.abs(ratio - 5.4))]
    assert answer.judged[0].got == pytest.approx(farthest, rel=1e-6)
    assert np.abs(ratio - 5.4).max() <= 0.2
    assert answer.free_directions == 2
