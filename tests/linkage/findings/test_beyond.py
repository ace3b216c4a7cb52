"""What no key gives is told, and why; and the last word stands in one place."""

from collections import Counter
from pathlib import Path

from linkage.findings.beyond import BEYOND
from linkage.last_word import LAST, REPORT
from tests.documents import ROOT
from tests.linkage.findings.designs import TANDEM, car, pedal, report


def test_each_is_told_once_with_what_is_missing() -> None:
    found = report(pedal(more=TANDEM) + car(0.72)).findings
    told = Counter(each.name for each in found)
    assert max(told.values()) == 1
    unchecked = {each.name: each for each in found if each.lack}
    mine = [each for each in BEYOND if each.name in unchecked]
    assert len(mine) >= 6
    for each in mine:
        assert unchecked[each.name].lack == each.lack
        assert each.lack.what
        assert not each.lack.give


def test_only_a_clutch_has_a_release() -> None:
    brake = {each.name for each in report(pedal()).findings}
    clutch = {
        each.name
        for each in report(pedal().replace("pedal.brake", "pedal.clutch")).findings
    }
    assert "Clutch foot force" in clutch - brake
    assert "Cylinder below its calipers" in brake - clutch


def test_the_last_word_stands_in_one_place() -> None:
    """But in the help of one command, which click takes from its docstring."""
    homes = {
        path.relative_to(ROOT).as_posix()
        for path in Path(ROOT / "linkage").rglob("*.py")
        if "licensed" in path.read_text()
    }
    assert homes == {"linkage/last_word.py", "linkage/commands/check.py"}
    assert LAST.capitalize() in REPORT
