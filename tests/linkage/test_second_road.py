"""Closed forms, constraint solver and high precision on trains of every kind."""

import math
from collections import Counter
from typing import Any

import mpmath as mp
import numpy as np
import pytest
from scipy.optimize import root

from linkage.loading import load_text
from linkage.motion.ends import Limit, find_ends, find_limit
from linkage.motion.rest import PedalRest
from linkage.second_road import simulate
from linkage.second_road.columns import simulated_columns
from linkage.second_road.scene import plain
from linkage.sweeping import standing, sweep
from tests import oracles
from tests.cases_count import many
from tests.high import high
from tests.linkage.roads import POSITIONS, every_form, good_trains, high_columns
from tests.trains import TRAINS, Train, random_train

DEGREES = 180.0 / math.pi
LIMITS = {"locked", "rod short", "dead centre", None}


def beyond(rest: PedalRest) -> float:
    """Travel for a turn of 2.2 rad."""
    return 2.2 * abs(plain(rest.pad) - plain(rest.pivot))


def kind_of(limit: Limit | None) -> str | None:
    return None if limit is None else limit.kind


def ends_of(found: Any) -> list[tuple[str, int]]:
    return [(end.what, int(str(end.part).removeprefix("train."))) for end in found]


@every_form
def test_three_roads_agree(kinds: tuple[str, ...]) -> None:
    """Lengths 1e-9 mm, angles 1e-9 degrees, ratios 1e-9 of themselves.

    At every position, and at 40 digits at rest, on the way and at full travel.
    """
    wanted = many(1000 if kinds in TRAINS else 500)
    for case, (train, swept) in enumerate(good_trains(kinds, wanted)):
        road = simulate(swept.rest, train.travel)
        assert road.limit is None
        got = simulated_columns(road, swept["travel"].tolist())
        assert set(got) == set(swept.columns)
        for name, series in swept.columns.items():
            rel = 1e-9 if name == "ratio" else 0.0
            abs_ = 0.0 if name == "ratio" else 1e-9
            np.testing.assert_allclose(
                got[name], series.values, rtol=rel, atol=abs_, err_msg=name
            )
        assert ends_of(swept.ends) == ends_of(road.ends)
        for one, two in zip(swept.ends, road.ends, strict=True):
            assert one.travel == pytest.approx(two.travel, abs=1e-9)
        for place in (0, 1 + case % (POSITIONS - 2), POSITIONS - 1):
            here = {k: float(swept[k][place]) for k in swept.columns}
            check_high(train, float(swept["travel"][place]), here)


def check_high(train: Train, travel: float, columns: dict[str, float]) -> None:
    """Hold every column of one position against 40 digits."""
    with oracles.digits():
        here = high_columns(train, mp.mpf(travel))
        side = 0 if travel else 1  # at rest a cable without slack begins to pull
        rate = mp.diff(
            lambda x: high_columns(train, x)["end"], mp.mpf(travel), direction=side
        )
        for name, number in columns.items():
            if name == "ratio":
                want = float(1 / rate) if rate else math.nan
                assert number == pytest.approx(want, rel=1e-9, nan_ok=True)
            elif name == "lever_rate":
                assert number == pytest.approx(float(rate) * DEGREES, rel=1e-9)
            elif name != "travel":
                scale = 1.0 if name in ("stroke", "cable_pull") else DEGREES
                want = float(here[name]) * scale
                assert number == pytest.approx(want, rel=0.0, abs=1e-9), name


@every_form
def test_limits_agree(kinds: tuple[str, ...]) -> None:
    """Pressed on to 2.2 rad: first limit and all that is used up before, 1e-9 mm."""
    seen: Counter[str | None] = Counter()
    for case in range(many(300 if kinds in TRAINS else 100)):
        train = random_train(kinds, case)
        rest = standing(load_text(train.toml()), "brake")
        upto = beyond(rest)
        limit, road = find_limit(rest, upto), simulate(rest, upto)
        seen[kind_of(limit)] += 1
        if limit is None or road.limit is None:
            assert limit is None
            assert road.limit is None
        else:
            assert road.limit.what == limit.kind
            assert road.limit.travel == pytest.approx(limit.travel, abs=1e-9)
            check_limit(train, limit)
        ends = find_ends(rest, upto if limit is None else limit.travel)
        assert ends_of(ends) == ends_of(road.ends)
        for one, two in zip(ends, road.ends, strict=True):
            assert one.travel == pytest.approx(two.travel, abs=1e-9)
    assert set(seen) <= LIMITS


def check_limit(train: Train, limit: Limit) -> None:
    """At 40 digits something runs out within 1e-9 mm of it, and nothing before."""
    with oracles.digits():
        before, after = (mp.mpf(limit.travel) + k * mp.mpf("1e-9") for k in (-1, 1))
        rooms = high(train, before).rooms
        assert all(room > 0 for room in rooms)
        if limit.kind == "dead centre":
            sides = [slackless_rate(train, x) for x in (before, after)]
            assert sides[0] * sides[1] < 0
        else:
            spent = [mp.re(room) for room in high(train, after).rooms]
            assert any(room <= 0 for room in spent)


def slackless_rate(train: Train, travel: Any) -> Any:
    """Rate of the end; in slack, of what will move it."""
    slope = mp.diff(lambda x: mp.re(high(train, x).moved), travel, h=mp.mpf("1e-14"))
    if slope != 0:
        return slope
    return mp.diff(lambda x: mp.re(high(train, x).columns["cable_pull"]), travel)


def test_every_limit_comes_up() -> None:
    """The trains above meet each kind of limit, and none."""
    kinds: set[str | None] = set()
    for train in (("lever",), ("pull cylinder",)):
        for case in range(40):
            rest = standing(load_text(random_train(train, case).toml()), "brake")
            limit = find_limit(rest, beyond(rest))
            kinds.add(kind_of(limit))
    assert kinds == LIMITS


def test_a_lock_ahead_uses_nothing_else_up() -> None:
    """Beyond a lock nothing has a value: that is no stop and no full cylinder."""
    for case in (34, 41, 46, 63):
        train = random_train(("drum lever", "cylinder"), case)
        rest = standing(load_text(train.toml()), "brake")
        limit = find_limit(rest, beyond(rest))
        assert limit is not None
        assert limit.kind == "locked"
        for end in find_ends(rest, limit.travel):
            assert end.travel < limit.travel - 1e-6


def test_no_slack_is_taken_up_from_the_start() -> None:
    """Slack 0: the ratio at rest has a value, and goes on smoothly."""
    for train, _ in good_trains(("drum lever", "cylinder"), 5):
        tight = train.with_numbers(**{"1.slack": 0.0})
        ratio = sweep(load_text(tight.toml()), "brake", at=[0.0, 1e-6])["ratio"]
        assert ratio[0] == pytest.approx(ratio[1], rel=1e-5)


@every_form
def test_scipy_root_closes_to_the_same_place(kinds: tuple[str, ...]) -> None:
    """The same equations from rest, by a solver of other people."""
    for train, swept in good_trains(kinds, many(50)):
        road = simulate(swept.rest, train.travel)
        system, q = road.phases[-1].system, road.state(train.travel)
        start = road.state(0.9 * train.travel)
        held = start.copy()
        held[list(system.where("travel"))] = train.travel

        def gap(free: Any, system: Any = system, held: Any = held) -> Any:
            state = held.copy()
            state[system.free] = free
            return system.residual(state)

        found = root(gap, start[system.free], tol=1e-13)
        np.testing.assert_allclose(found.x, q[system.free], rtol=0.0, atol=1e-9)


def test_beyond_the_limit_there_is_no_state() -> None:
    train = random_train(("cylinder",), 1)
    rest = standing(load_text(train.toml()), "brake")
    road = simulate(rest, beyond(rest))
    assert road.limit is not None
    with pytest.raises(ValueError, match="did not pass"):
        road.state(road.limit.travel + 1.0)
