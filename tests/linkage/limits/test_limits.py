"""Limits: each with its source, judged at both edges of both bands; sets of rules."""

import math

import pytest

from linkage.design.limit_names import LIMITS
from linkage.limits.bands import Limit
from linkage.limits.road import ROAD
from linkage.limits.sets import LIMIT_SETS, rule_set
from linkage.limits.student import EDITION, STUDENT
from linkage.loading import load_text

DEG = math.pi / 180.0
EVERY = [*ROAD, *STUDENT]
PEDAL = """
[pedal.brake]
pivot = [0, 0]
pad = [0, -300]
travel = 100
"""


@pytest.mark.parametrize("limit", EVERY, ids=lambda each: each.name)
def test_each_says_who_says_so(limit: Limit) -> None:
    assert limit.source.strip()
    assert limit.name in LIMITS
    if limit.kind == "regulation":
        words = ("CFR", "FMVSS", "EEC", "UN R")
        assert any(word in limit.source for word in words)
    if limit.kind == "from memory":
        assert "memory" in limit.source


@pytest.mark.parametrize("limit", EVERY, ids=lambda each: each.name)
def test_a_text_that_was_read_is_named(limit: Limit) -> None:
    """A reader can look up what is said to be read: a clause, by its number."""
    if "(read" in limit.source or limit.kind == "read":
        words = ("CFR", "FMVSS", "EEC", "UN R", "FSAE Rules 20")
        assert any(word in limit.source for word in words)


def test_each_edition_stands_with_its_limit() -> None:
    edition = rule_set(load_text(f'[rules]\nset = "student"\n{PEDAL}').rules).edition
    assert edition.startswith(EDITION)
    for limit in STUDENT:
        if limit.kind == "rules":
            assert any(
                year in limit.source for year in edition.split("; wheels locked: ")
            )


@pytest.mark.parametrize("limit", EVERY, ids=lambda each: each.name)
def test_each_edge_belongs_to_its_band(limit: Limit) -> None:
    ends = (limit.fail_under, limit.least, limit.most, limit.fail_over)
    assert list(ends) == sorted(ends)
    assert any(map(math.isfinite, ends))
    for end, way in zip(ends, (-1.0, -1.0, 1.0, 1.0), strict=True):
        if not math.isfinite(end):
            continue
        beyond = end + way * 1e-6 * max(1.0, abs(end))
        outer = end in (limit.fail_under, limit.fail_over)
        at, past = limit.verdict(end), limit.verdict(beyond)
        if end in (limit.least, limit.most):
            assert at == "ok"
            assert past == ("fail" if outer else "caution")
        else:
            assert (at, past) == ("caution", "fail")


#: (limit, ok ends, borne ends); N, mm, deg, %: common practice, no source, but
#: 400 and 500 N, 80 % and 25 mm are regulations' (FMVSS 135, 49 CFR 570.55, FSAE F.8).
LISTED = {
    "effort": ((None, 400), (None, 500)),
    "boosted effort": ((None, 200), (None, 300)),
    "booster-dead effort": ((None, 400), (None, 500)),
    "hard-stop travel": ((30, 75), (20, 90)),
    "pad left": ((50, None), (25, None)),
    "travel used": ((None, 80), (None, 80)),
    "stroke used": ((None, 60), (None, 75)),
    "stroke out of reach": ((None, 0), (None, 2)),
    "hard-stop rod angle": ((None, 3), (None, 5)),
    "rod angle": ((None, 5), (None, 8)),
    "crank angle": ((75, 105), (60, 120)),
    "past square": ((None, 0), (None, 10)),
    "ratio change": ((-5, 10), (-15, 15)),
    "rod gap": ((0.3, 1.0), (0, 1.6)),
    "lock order": ((5, None), (0, None)),
    "spring margin": ((2, None), (1.2, None)),
    "pad gap": ((50, 100), (35, None)),
    "clearance": ((15, None), (5, None)),
    "edge distance": ((1.5, None), (1.2, None)),
}


@pytest.mark.parametrize("name", LISTED)
def test_the_road_is_as_listed(name: str) -> None:
    limit = LIMIT_SETS["road"][name]
    unit = DEG if LIMITS[name].value == "angle" else 1.0
    (least, most), (under, over) = LISTED[name]
    kept = (limit.least, limit.most, limit.fail_under, limit.fail_over)
    for got, listed in zip(kept, (least, most, under, over), strict=True):
        if listed is None:
            assert math.isinf(got)
        else:
            assert got == pytest.approx(listed * unit, rel=1e-12)


def test_student_racing_names_its_edition() -> None:
    """FSAE Rules 2026 V1.0: 25 mm to the bulkhead (F.8), 915 mm to the pad (F.5.6)."""
    limits = LIMIT_SETS["student"]
    assert EDITION == "FSAE Rules 2026 V1.0"
    assert limits["bulkhead at full"].verdict(25.0) == "ok"
    assert limits["bulkhead at full"].verdict(24.99) == "fail"
    assert limits["hip to pad"].verdict(914.9) == "fail"
    assert limits["effort"] != LIMIT_SETS["road"]["effort"]
    assert limits["rod angle"] == LIMIT_SETS["road"]["rod angle"]
    assert "wheels locked" not in LIMIT_SETS["road"]


def own(row: str, of: str) -> Limit:
    text = f'{PEDAL}[[rules.limit]]\nof = "{of}"\n{row}\nreason = "mine"\n'
    return rule_set(load_text(text).rules).limits[of]


def test_a_limit_of_ones_own_is_one() -> None:
    """Past the most that the file allows it fails; the other end stays the set's."""
    limit = own("most = 4", "rod angle")
    assert limit.verdict(4.0 * DEG) == "ok"
    assert limit.verdict(4.001 * DEG) == "fail"
    assert (limit.kind, limit.reason) == ("own", "mine")
    both = own("most = 4\nfail_over = 6", "rod angle")
    assert [both.verdict(x * DEG) for x in (4, 5, 6, 6.01)] == [
        *("ok", "caution", "caution", "fail")
    ]


def test_an_end_of_the_set_gives_way() -> None:
    """Only ``most`` of a band of 30 to 75: 20 is below both of its lower ends."""
    limit = own("most = 15", "hard-stop travel")
    assert limit.verdict(15.0) == "ok"
    assert limit.verdict(15.1) == "fail"
    wider = own("fail_over = 60", "hard-stop travel")
    assert wider.most == 60.0
    assert wider.least == 30.0
    least = own("least = 95", "hard-stop travel")
    assert least.verdict(95.0) == "ok"
    assert least.verdict(94.9) == "fail"


def test_a_set_takes_what_it_has_not() -> None:
    limit = own('least = "900 mm"', "hip to pad")
    assert [limit.verdict(x) for x in (900.0, 899.0)] == ["ok", "fail"]
