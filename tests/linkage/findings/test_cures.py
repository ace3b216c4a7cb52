"""A single change cures what it is proposed for: the file with it in is checked again."""

import re

import pytest

import linkage.findings.facts as facts_module
from linkage.findings.check import check
from linkage.findings.records import Change, Finding
from linkage.loading import load_text
from tests.documents import ROOT
from tests.linkage.findings.designs import TANDEM, car, found, pedal, report

END, RODS, PAST = (
    "Cylinder's end within reach",
    "Rod leans, anywhere",
    "Rod past square at rest",
)


def with_change(text: str, change: Change) -> str:
    """Return a text with the number of a change put in at its place."""
    given = load_text(text).values[change.path]
    assert given.nominal == pytest.approx(change.now, rel=1e-12)
    start, end = given.span
    return f'{text[:start]}"{change.new!r} mm"{text[end:]}'


FAILS = {
    "short travel": (pedal(more="stroke = 16"), END),
    "high axis": (pedal(level=-30.0, travel=30.0), RODS),
    "past square": (pedal(start=14.0, level=-50.0), PAST),
    "gap": (pedal(more="free_play = 2"), "Rod gap"),
    "falls": (pedal(start=-50.0), "Ratio change while working"),
    "heavy": (
        pedal(travel=130.0, more=TANDEM.replace("3/4 in", "1 1/8 in")) + car(0.72),
        "Foot force at 0.8 g0",
    ),
    "long": (
        pedal(travel=170.0, more=TANDEM.replace("3/4 in", "5/8 in"))
        + car(0.72).replace("0.05 cc/MPa", "0.12 cc/MPa"),
        "Pad travel at a hard stop",
    ),
    "deep": (
        pedal(travel=170.0, more=TANDEM.replace("36", "10.5").replace("18", "5.5"))
        + car(0.72),
        "Stroke used at a hard stop",
    ),
    "locks": (
        pedal(crank=50.0, rod=51.0, start=40.0, level=0.0, travel=300.0),
        "Makes its travel",
    ),
}


@pytest.mark.parametrize("case", FAILS)
def test_the_change_cures(case: str) -> None:
    text, name = FAILS[case]
    one = found(text, name)
    assert one.verdict == "fail"
    assert one.change is not None
    again = found(with_change(text, one.change), name)
    assert again.verdict == one.change.verdict != "fail"
    assert again.measured is not None
    assert again.measured.value == pytest.approx(one.change.value, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("case", ["short travel", "high axis", "past square", "falls"])
def test_what_a_change_breaks_is_said(case: str) -> None:
    """With the change in the file nothing fails that did not, but what is named."""
    text, name = FAILS[case]
    one = found(text, name)
    assert one.change is not None
    before, after = (
        {each.name for each in report(t).findings if each.verdict == "fail"}
        for t in (text, with_change(text, one.change))
    )
    assert after - before == set(one.change.breaks)


def test_what_is_welded_stays() -> None:
    text = pedal(start=14.0, level=-50.0)
    free = found(text, PAST).change
    assert free is not None
    assert ".clevis." in free.path
    welded = text.replace("travel = 75.0", 'travel = 75.0\nlocked = ["clevis"]')
    other = found(welded, PAST).change
    assert other is None or ".clevis." not in other.path


def test_marks_can_be_made() -> None:
    change = found(pedal(more="stroke = 16"), END).change
    assert change is not None
    assert change.new / 0.5 == pytest.approx(round(change.new / 0.5), abs=1e-9)


def test_nothing_is_worked_out_twice(monkeypatch: pytest.MonkeyPatch) -> None:
    """A file without a fail: one sweep, one clearance, one cut, one of each rig."""
    calls: list[str] = []
    for name in ("sweep", "clearances", "cut_arm", "ask", "rig_of"):
        real = getattr(facts_module, name)

        def count(
            *args: object, _name: str = name, _real: object = real, **more: object
        ) -> object:
            kind = f" {more['lost']}" if more.get("lost") else ""
            kind += " dead" if more.get("dead") else ""
            calls.append(_name + kind)
            return _real(*args, **more)  # type: ignore[operator]

        monkeypatch.setattr(facts_module, name, count)
    text = (ROOT / "examples" / "brake-boosted.toml").read_text()
    text = re.sub(r"stroke = \d+", "stroke = 34", text)
    found_ = check(load_text(text), ("brake",))
    assert found_.count("fail") == 0
    assert sorted(calls) == [
        *("ask", "clearances", "cut_arm", "rig_of", "rig_of dead"),
        *("rig_of front", "rig_of rear", "sweep"),
    ]


def test_graver_things_come_first() -> None:
    order = ["fail", "caution", "ok", "not checked"]
    for text in (FAILS["past square"][0], FAILS["heavy"][0]):
        found_ = [order.index(each.verdict) for each in report(text).findings]
        assert found_ == sorted(found_)


def every() -> list[Finding]:
    files = sorted((ROOT / "examples").glob("*.toml"))
    texts = [file.read_text() for file in files if "place" not in file.name]
    return [each for text in texts for each in report(text).findings]


def test_every_finding_says_its_part() -> None:
    for each in every():
        if each.verdict == "not checked":
            assert each.lack is not None
            assert each.lack.what
            continue
        assert each.source
        assert each.why
        assert each.measured is not None
