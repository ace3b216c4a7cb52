"""A report in words: looked at for every example, line by line."""

import math
import re
from pathlib import Path

import pytest

from linkage.findings.check import check
from linkage.findings.records import Finding, Measured
from linkage.last_word import REPORT
from linkage.limits.bands import Limit, Verdict
from linkage.loading import load, load_text
from linkage.units import Measure
from linkage.words.band import MOST_MORE, band_text, limit_text, sized, value_text
from linkage.words.check import check_text
from linkage.words.speech import WIDTH, Speech
from tests.documents import ROOT
from tests.linkage.findings.designs import pedal

EXAMPLES = sorted((ROOT / "examples").glob("*.toml"))
SIGNED = re.compile(r"^ ([x!+?]) (FAIL|CAUTION|ok|NOT CHECKED) +\S")


def told(file: Path, *, working: bool = False) -> str:
    design = load(file)
    return check_text(design, check(design, tuple(design.pedals)), working=working)


@pytest.mark.parametrize("file", EXAMPLES, ids=lambda file: file.stem)
def test_every_example_reads_well(file: Path) -> None:
    text = told(file)
    lines = text.splitlines()
    assert max(map(len, lines)) <= WIDTH
    for odd in ("None", "nan", "inf", "..", " ;", "_", "lambda"):
        shown = text.replace("Measured by ____________    Checked by ____________", "")
        assert odd not in re.sub(
            r'"[^"]*"|\[\[?[^\]]*\]|[a-z]+_[a-z_]+ =', "", shown
        ), odd
    assert REPORT.split(":")[0] in text
    signs = {"FAIL": "x", "CAUTION": "!", "ok": "+", "NOT CHECKED": "?"}
    found = [match.groups() for line in lines if (match := SIGNED.match(line))]
    assert found
    assert all(signs[word] == sign for sign, word in found)
    order = list(dict.fromkeys(word for _, word in found))
    assert order == [word for word in signs if word in order]


def test_the_head_counts() -> None:
    text = told(ROOT / "examples" / "brake-hanging.toml")
    head = re.sub(r"\s+", " ", text.split("\n\n")[0])
    count = re.search(r"(\d+) fail, (\d+) caution, (\d+) ok, (\d+) NOT CHECKED", head)
    assert count is not None
    assert text.count("\n ! CAUTION") == int(count[2])
    assert text.count("\n + ok") == int(count[3])
    assert "Rules: road." in head


def test_what_is_free_is_said() -> None:
    text = told(ROOT / "examples" / "brake-to-place.toml")
    assert (
        "Still free, and read as its near, its middle or its first choice: pivot,"
        in text
    )
    assert "Still free" not in told(ROOT / "examples" / "brake-hanging.toml")


def test_a_fail_says_what_would_cure() -> None:
    design = load_text(pedal(start=14.0, level=-50.0))
    text = check_text(design, check(design, ("brake",)))
    assert "Estimate, then tried: hole, fore and aft" in text
    assert "Source: own sums: the ratio goes with 1 / sine" in text


def test_inches_are_spoken_in_inches() -> None:
    text = told(ROOT / "examples" / "brake-inches.toml")
    assert " in " in text
    assert not re.search(r"\d mm ", text)


def test_working_shows_formula_and_source() -> None:
    text = told(ROOT / "examples" / "brake-boosted.toml", working=True)
    assert re.search(r"[\d.]+ N of rod / ratio [\d.]+ = [\d.]+ N", text)
    assert text.count("Source: ") >= text.count(" + ok")


@pytest.mark.parametrize(
    ("measure", "x", "mm", "inch"),
    [
        (Measure.FORCE, 444.82216152605, "445 N (100 lbf)", "100 lbf (445 N)"),
        (Measure.LENGTH, 12.7, "12.7 mm", "0.5 in"),
        (Measure.ANGLE, 0.0872664626, "5 deg", "5 deg"),
        (Measure.PERCENT, -1.49, "-1.5 %", "-1.5 %"),
    ],
)
def test_sizes(measure: Measure, x: float, mm: str, inch: str) -> None:
    assert sized(measure, x, Speech("mm")) == mm
    assert sized(measure, x, Speech("in")) == inch


def test_bands() -> None:
    speech, inf = Speech("mm"), float("inf")
    assert band_text(-inf, 5.0, Measure.PERCENT, speech) == "5 at most"
    assert band_text(5.0, inf, Measure.PERCENT, speech) == "5 at least"
    assert band_text(-5.0, 10.0, Measure.PERCENT, speech) == "-5 to 10"
    assert band_text(2.0, 2.0, Measure.PERCENT, speech) == "just 2"


@pytest.mark.parametrize(
    ("verdict", "least", "most", "under", "over", "says"),
    [
        ("fail", -math.inf, 5.0, -math.inf, 8.0, "8 at most, ok to 5"),
        ("fail", 50.0, 100.0, 35.0, math.inf, "35 at least, ok 50 to 100"),
        ("fail", 50.0, math.inf, 35.0, math.inf, "35 at least, ok from 50"),
        ("fail", -5.0, 10.0, -15.0, 15.0, "-15 to 15, ok -5 to 10"),
        ("fail", -math.inf, 5.0, -math.inf, 5.0, "5 at most"),
        ("caution", -math.inf, 5.0, -math.inf, 8.0, "5 at most"),
    ],
)
def test_a_fail_shows_what_is_borne_and_what_is_ok(
    verdict: Verdict, least: float, most: float, under: float, over: float, says: str
) -> None:
    """A caution beside it shows the ok limit alone: the two do not contradict."""
    limit = Limit(
        name="own",
        least=least,
        most=most,
        fail_under=under,
        fail_over=over,
        source="the file",
        kind="own",
    )
    finding = Finding(
        pedal="brake",
        name="own",
        verdict=verdict,
        measure=Measure.PERCENT,
        measured=Measured(value=99.0),
        limit=limit,
    )
    assert limit_text(finding, Speech("mm")) == says


@pytest.mark.parametrize("past", [0.04, 0.004, 0.0004, 1e-9])
def test_a_value_just_past_its_limit_reads_past_it(past: float) -> None:
    """91.04 is not said as 91 where 91 is the limit; there is an end to that."""
    limit = Limit(
        name="own",
        most=5.0,
        fail_over=5.0,
        source="the file",
        kind="own",
    )
    finding = Finding(
        pedal="brake",
        name="own",
        verdict="fail",
        measure=Measure.PERCENT,
        measured=Measured(value=5.0 + past),
        limit=limit,
    )
    number = float(value_text(finding, Speech("mm")).split()[0])
    assert number == pytest.approx(5.0 + past, abs=10.0**-MOST_MORE)
    assert (number > 5.0) == (past > 1e-6)
