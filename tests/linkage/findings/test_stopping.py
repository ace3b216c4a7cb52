"""Findings of a brake with its car against sums by hand and published ones."""

import math

import numpy as np
import pytest

from linkage.findings.facts import facts_of
from linkage.findings.records import Finding
from linkage.footwell.moving import moving_of, outline
from linkage.limits.sets import LIMIT_SETS, rule_set
from linkage.loading import load_text
from tests.linkage.findings.designs import TANDEM, car, found, pedal, report

G0 = 9.80665
WEIGHT = 1200.0 * G0
#: Both circuits together at 1 MPa: two discs each, twice the clamp, 0.4, 0.2 m / 0.3 m.
PER_MPA = 2.0 * 2.0 * 0.4 * (math.pi / 4.0 * 48.0**2) * 200.0 / 300.0
BORE = math.pi / 4.0 * 19.05**2
#: N; what a foot feels of an arm that weighs a gram.
GRAM = 0.01


def brake(share: float = 0.72, *, grip: float = 0.9, travel: float = 130.0) -> str:
    return pedal(travel=travel, more=TANDEM) + car(share, grip=grip)


def of(text: str) -> dict[str, Finding]:
    return {each.name: each for each in report(text).findings}


def number(each: Finding) -> float:
    assert each.measured is not None
    assert each.measured.value is not None
    return each.measured.value


def ratio_by_hand(travel: float, whole: float = 130.0) -> float:
    """Return pad for rod of the plain pedal, by the angle at its hole."""
    level = -0.5 * 50.8 * (1.0 + math.cos(whole / 305.0))
    a = travel / 305.0
    lean = math.asin((level + 50.8 * math.cos(a)) / 130.0)
    return 305.0 * math.cos(lean) / (50.8 * math.cos(a - lean))


def test_effort_by_hand() -> None:
    """p = z W / (N a MPa); rod = p x area; foot = rod / ratio. 3/4 in: pi / 4 x 19.05^2
    = 285.0229570 mm2 (own sum)."""
    assert pytest.approx(285.0229570, rel=1e-9) == BORE
    found_ = of(brake())
    effort, travel = (
        found_["Foot force at 0.8 g0"],
        number(found_["Pad travel at a hard stop"]),
    )
    rod = 0.8 * WEIGHT / PER_MPA * BORE
    assert number(effort) == pytest.approx(rod / ratio_by_hand(travel), abs=GRAM)


def test_travel_by_hand() -> None:
    """Gap, cut-off, then clearance, squash and fluid of both circuits / the area."""
    p = 0.8 * WEIGHT / PER_MPA
    taken = 2.0 * (2.0 * math.pi / 4.0 * 48.0**2 * 0.1 + 2.0 * 50.0 * p)
    taken += 2.0 * 50e3 * (1.0 - math.exp(-p / 1800.0))
    moved = 0.5 + 1.0 + taken / BORE
    found_ = of(brake())
    travel = number(found_["Pad travel at a hard stop"])
    level = -0.5 * 50.8 * (1.0 + math.cos(130.0 / 305.0))

    def end(a: float) -> float:
        return 50.8 * math.sin(a) + math.sqrt(
            130.0**2 - (level + 50.8 * math.cos(a)) ** 2
        )

    assert end(travel / 305.0) - end(0.0) == pytest.approx(moved, rel=1e-3)
    used = number(found_["Stroke used at a hard stop"])
    assert used == pytest.approx(100.0 * (moved - 0.5) / 36.0, rel=1e-3)
    assert number(found_["Pad left at a hard stop"]) == pytest.approx(130.0 - travel)


def test_one_circuit_lost_by_hand() -> None:
    """FMVSS 135 S7.10, from memory: 1 / (25.92 x 0.0158) = 2.4417877793 m/s2."""
    z = 2.4417877793 / G0
    found_ = of(brake(0.6, travel=180.0))
    lost = found_["Foot force, one circuit lost"]
    left = found_["Pad left, one circuit lost"]
    assert lost.measured is not None
    assert left.measured is not None
    assert lost.measured.note == "front lost"
    rod = z * WEIGHT / (0.4 * PER_MPA) * BORE
    travel = lost.measured.at or 0.0
    assert number(lost) == pytest.approx(rod / ratio_by_hand(travel, 180.0), abs=GRAM)
    assert number(left) == pytest.approx(180.0 - (left.measured.at or 0.0))


#: The published sums of a fixed share: both axles lock together at (share - 0.56) x 5;
#: at 0.8 g0 the front uses s z / (0.56 + 0.2 z), the rear (1 - s) z / (0.44 - 0.2 z).
@pytest.mark.parametrize(
    ("share", "room", "verdict"),
    [
        (0.65, 0.52 / 0.72 - 0.28 / 0.28, "fail"),
        (0.72, 0.0, "ok"),
        (0.719, 0.719 * 0.8 / 0.72 - 0.281 * 0.8 / 0.28, "fail"),
        (0.80, 0.80 * 0.15 / 0.59 - 0.2 * 0.15 / 0.41, "ok"),
    ],
)
def test_the_order_that_the_directive_asks_for(
    share: float, room: float, verdict: str
) -> None:
    """71/320/EEC annex II appendix 3.1.1, M1 (read)."""
    one = found(brake(share), "Front uses more of the road")
    assert number(one) == pytest.approx(room, abs=1e-9)
    assert one.verdict == verdict


def test_the_rear_locks_first() -> None:
    """Share 0.65, grip 0.9: the rear locks where 0.35 z = 0.9 (0.44 - 0.2 z), the front
    then at 0.9 g0 of it: 0.65 k = 0.9 x 0.74."""
    one = found(brake(0.65), "Front locks first")
    rear = 0.9 * 0.44 / (0.35 + 0.9 * 0.2)
    front = 0.9 * (0.56 + 0.2 * 0.9) / 0.65
    assert number(one) == pytest.approx(-100.0 * (front / rear - 1.0), rel=1e-6)
    assert one.verdict == "fail"


def test_the_front_locks_first() -> None:
    """Share 0.80: front where 0.8 z = 0.9 (0.56 + 0.2 z); then 0.2 k = 0.9 x 0.26."""
    one = found(brake(0.80), "Front locks first")
    front = 0.9 * 0.56 / (0.80 - 0.18)
    rear = 0.9 * (0.44 - 0.18) / 0.20
    assert number(one) == pytest.approx(100.0 * (rear / front - 1.0), rel=1e-6)
    assert one.verdict == "ok"


def test_a_slippery_road_is_not_checked() -> None:
    one = found(brake(grip=0.6), "Foot force at 0.8 g0")
    assert one.verdict == "not checked"
    assert one.lack is not None
    assert "[vehicle]" in one.lack.give


@pytest.mark.parametrize(
    "name",
    [
        *("Foot force at 0.8 g0", "Pad travel at a hard stop"),
        *("Pad left at a hard stop", "Stroke used at a hard stop"),
    ],
)
def test_a_stop_that_cannot_be_had_fails(name: str) -> None:
    """30 mm of pad move the rod 5 mm: it takes 10 to press hard enough."""
    one = found(brake(travel=30.0), name)
    assert one.verdict == "fail"
    assert one.measured is not None
    assert one.measured.value is None
    assert one.measured.note == "pedal at its end before that"


def test_what_is_missing_is_asked_for_until_nothing_is() -> None:
    """Each answer names one thing; with that given the next is asked for."""
    whole = brake()
    head, cylinder = whole.split("[[pedal.brake.train]]")
    no_car = whole.split("[vehicle]")[0] + "[circuit.front]"
    no_car += whole.split("[circuit.front]")[1]
    bare = "".join(
        line + "\n"
        for line in no_car.split("\n")
        if not line.startswith(("bore", "circuits", "first_stroke"))
    )
    bored = bare.replace("stroke = 36", 'bore = "3/4 in"\nstroke = 36')
    texts = {
        "[[pedal.brake.train]] with a cylinder": head,
        'bore = "3/4 in" in its [[pedal.brake.train]]': bare,
        'circuits = ["front", "rear"] in its [[pedal.brake.train]]': bored,
        "[vehicle]: mass, wheelbase, cg_height, front_weight": no_car,
    }
    assert 'part = "cylinder"' in cylinder
    for give, text in texts.items():
        one = found(text, "Front locks first")
        assert one.lack is not None
        assert one.lack.give.startswith(give)
    assert found(whole, "Front locks first").lack is None


@pytest.mark.parametrize(
    ("left", "verdict"), [(30.0, "ok"), (29.9, "fail")], ids=["30 mm", "29.9 mm"]
)
def test_a_fifth_of_the_way_to_the_floor(left: float, verdict: str) -> None:
    """49 CFR 570.55 (c), read: (A - B) / A of 150 mm is at most 80 %."""
    limit = LIMIT_SETS["road"]["travel used"]
    assert limit.verdict(100.0 * (150.0 - left) / 150.0) == verdict


USED = "Travel used at an inspection"


def test_an_inspection_counts_to_the_floor() -> None:
    """Past its stop, to where the first corner of the pad comes to the bulkhead."""
    at = 180.0
    text = f"[footwell]\nbulkhead = {at}\n" + brake(travel=130.0)
    facts = facts_of(load_text(text), "brake", rule_set(load_text(text).rules))
    pad = next(
        each for each in moving_of(facts.design, facts.pedal) if each.kind == "pad"
    )
    corners = outline(pad, facts.rest)[:, 0] + 1j * outline(pad, facts.rest)[:, 1]
    assert facts.floor is not None
    assert facts.floor > 130.0
    there = (corners * np.exp(1j * facts.floor / 305.0)).real
    assert np.max(there) == pytest.approx(at, abs=1e-4)
    one = found(text, USED)
    assert facts.light is not None
    assert number(one) == pytest.approx(100.0 * facts.light / facts.floor)
    assert one.measured is not None
    assert one.measured.bound == ""


def test_without_a_floor_an_inspection_is_at_most_what_the_stop_leaves() -> None:
    one = found(brake(travel=130.0), USED)
    assert one.verdict == "ok"
    assert one.measured is not None
    assert one.measured.bound == "at most"
    short = found(brake(travel=55.0), USED)
    assert short.lack is not None
    assert short.lack.give == "floor, bulkhead in [footwell]"


def test_the_road_is_looked_at_up_to_where_the_rear_lifts() -> None:
    """1.6 m high, the rear wheels leave the road at 0.44 / 0.64 g0, short of 0.8: just
    before, they press with next to nothing, and use far more of the road than they may.
    """
    text = brake(0.72, grip=0.6).replace("cg_height = 500", "cg_height = 1600")
    one = found(text, "Front uses more of the road")
    z = 0.999 * 0.44 / 0.64
    want = 0.72 * z / (0.56 + 0.64 * z) - 0.28 * z / (0.44 - 0.64 * z)
    assert number(one) == pytest.approx(want, rel=1e-6)
    assert one.verdict == "fail"


def test_what_is_missing_is_named() -> None:
    bare = found(pedal(more='bore = "3/4 in"'), "Foot force at 0.8 g0")
    assert bare.lack is not None
    assert 'circuits = ["front", "rear"] in its [[pedal.brake.train]]' in bare.lack.give
    no_bore = found(pedal(), "Stroke used at a hard stop")
    assert no_bore.lack is not None
    assert 'bore = "3/4 in"' in no_bore.lack.give
    no_car = brake().replace("[vehicle]", "[ignored]").split("[ignored]")
    text = no_car[0] + "[circuit.front]" + no_car[1].split("[circuit.front]")[1]
    car_less = found(text, "Foot force at 0.8 g0")
    assert car_less.lack is not None
    assert car_less.lack.give.startswith("[vehicle]")
    assert found(text, "Pad travel at a hard stop").verdict != "not checked"


@pytest.mark.parametrize(
    ("residual", "verdict"),
    [("2 psi", "ok"), ("3 psi", "ok"), ("4 psi", "caution"), ("10 psi", "fail")],
)
def test_a_valve_on_discs(residual: str, verdict: str) -> None:
    """2 psi for discs, never 10 (common practice, no source)."""
    text = brake().replace("[circuit.rear]", f'[circuit.rear]\nresidual = "{residual}"')
    assert found(text, "Residual pressure on discs").verdict == verdict


@pytest.mark.parametrize(("grip", "axles"), [(0.9, 2.0), (1.9, 1.0)])
def test_student_racing_wants_all_wheels_locked(grip: float, axles: float) -> None:
    text = '[rules]\nset = "student"\n' + brake(0.72, grip=grip, travel=100.0)
    one = found(text, "Axles that can be locked")
    assert number(one) == axles
    assert one.verdict == ("ok" if axles == 2.0 else "fail")
    assert "Axles that can be locked" not in of(brake())
