"""What the builder is told: the figures of the job, what to finish, what to mind."""

import re
from fractions import Fraction

import pytest
from msgspec.structs import replace

from linkage.arm.plan import ArmPlan
from linkage.arm.processes import PROCESSES, Way
from linkage.cutting.bores import BorePlan, plan_bore
from linkage.cutting.check import Verdict
from linkage.cutting.job import cut_arm
from linkage.words.cut import WIDTH, bore_reason, job_document, job_text
from linkage.words.speech import Speech
from tests.linkage.arm.plans import HANGING, LAYOUTS

MM, INCHES = Speech("mm"), Speech("in")
LASER, PLASMA = PROCESSES["laser"], PROCESSES["plasma"]


def test_a_sound_job() -> None:
    job = cut_arm(HANGING)
    told = " ".join(job_text(job, MM).split())
    figures = job.figures
    for words in (
        "Quillet two-seater: brake arm: 8 mm steel, laser, file in mm",
        f"{figures.size.real:.1f} x {figures.size.imag:.1f} over all",
        "25 finished: cut 24.60, then drill, ream or bore: laser holds ±0.30",
        "25.4 finished, 62.1 from the pivot: cut 25.00",
        "36.9 between the holes, 10.0 round them at least",
        f"{figures.cut_length:.0f} mm of cut, 3 pierces, {figures.mass:.2f} kg",
        "20 of 20 right",
        "a shape, not a proof",
        "NOT CHECKED: strength",
        "licensed person",
    ):
        assert words in told
    assert "guessed" not in told
    assert "nan" not in told


@pytest.mark.parametrize("plan", LAYOUTS.values(), ids=LAYOUTS.keys())
def test_every_layout_is_told_in_lines_of_a_readable_length(plan: ArmPlan) -> None:
    told = job_text(cut_arm(plan, units="in"), MM)
    assert "file in inches" in told
    assert max(map(len, told.split("\n"))) <= WIDTH
    assert " in) over all" in told
    assert not told.endswith("\n")


def test_guesses_and_a_pad_without_a_stand_are_told() -> None:
    told = " ".join(
        job_text(cut_arm(replace(HANGING, bores={}, pad_stand=None)), MM).split()
    )
    assert "guessed" in told
    assert "bore of clevis 8 mm" in told
    assert "about the pad point itself" in told


def test_a_job_that_fails_says_which_rule_and_why() -> None:
    job = cut_arm(HANGING)
    bad = Verdict(name="smooth", ok=False, sentence="a kink of 3 degrees at 1, 2")
    failed = replace(job, verdicts=(*job.verdicts[:-1], bad))
    assert not failed.ok
    told = job_text(failed, MM)
    assert "19 of 20 right, NOT FIT" in told
    assert "smooth: a kink of 3 degrees at 1, 2" in told


def test_one_pierce_is_one() -> None:
    assert "1 pierce," in job_text(cut_arm(LAYOUTS["plasma"]), MM)


def test_an_inch_design_is_told_in_inches() -> None:
    """Every length by our own division; the inch is 25.4 mm exactly (NIST SP 811)."""
    inch = replace(HANGING, plate=7.9375, bores={"pivot": 25.4, "clevis": 8.334375})
    job = cut_arm(inch)
    told = " ".join(job_text(job, INCHES).split())
    figures = job.figures
    reach = figures.reaches["clevis"] / 25.4
    for words in (
        "brake arm: 5/16 in (7.94 mm) steel, laser, file in mm",
        f"{figures.size.real / 25.4:.3f} x {figures.size.imag / 25.4:.3f} in "
        f"({figures.size.real:.1f} x {figures.size.imag:.1f} mm) over all",
        "pivot 1 in (25.4 mm) finished: cut 0.984 in (25.00 mm), then drill, ream or bore: "
        "laser holds ±0.012",
        f"clevis 21/64 in (8.33 mm) finished, {reach:.3f} from the pivot: cut 0.313 in "
        "(7.95 mm),",
        f"{(figures.between or 0.0) / 25.4:.3f} between the holes",
        f"{figures.cut_length / 25.4:.0f} inches of cut, 3 pierces, "
        f"{figures.mass / 0.45359237:.2f} lb ({figures.mass:.2f} kg)",
        f"pivot to clevis {_rule(reach)}, over all {_rule(figures.size.real / 25.4)}.",
    ):
        assert words in told
    mm = job_text(job, MM)
    assert {n for n in _numbers(told) if n > 30.0} & set(_numbers(mm)) <= {
        float(f"{figures.size.real:.1f}"),
        float(f"{figures.size.imag:.1f}"),
        9013.0,  # the standard
    }


def _numbers(text: str) -> list[float]:
    return [float(found) for found in re.findall(r"\d+(?:\.\d+)?", text)]


def _rule(size: float) -> str:
    """A length in inches as a steel rule in sixty-fourths has it."""
    whole, rest = divmod(Fraction(round(size * 64), 64), 1)
    return f"{whole} {rest}" if rest else f"{whole}"


def test_a_bore_is_never_said_as_its_neighbour() -> None:
    """0.70 in is not 45/64, and a reamed 25 mm in an inch design is not 63/64."""
    job = cut_arm(replace(HANGING, bores={"pivot": 25.0, "clevis": 17.78}))
    told = job_text(job, INCHES)
    assert "0.9843 in (25 mm) finished" in told
    assert "0.7 in (17.78 mm) finished" in told


def test_the_document_is_in_mm_whatever_the_design_speaks() -> None:
    holes = job_document(cut_arm(HANGING, units="in"))["holes"]
    assert [hole["bore"] for hole in holes] == [25.0, 25.4]
    assert "cut 24.60, then drill" in holes[0]["reason"]


def test_plasma_bores_are_drilled() -> None:
    """ISO 9013 class 2: a 25 mm hole in 8 mm plate holds 1.1 only."""
    one = plan_bore("pivot", 25.0, plate=8.0, process=PLASMA)
    reason = bore_reason(one, PLASMA, MM)
    assert "±1.10" in reason
    assert "hard" in reason


def test_every_reason_is_one_sentence_that_names_what_to_do() -> None:
    ways: list[Way] = ["finished", "undersize", "pilot", "mark"]
    found: list[tuple[BorePlan, str]] = [
        (one, bore_reason(one, process, speech))
        for bore in (25.0, 1200.0)
        for process in (LASER, PLASMA)
        for speech in (MM, INCHES)
        for way in ways
        for one in [plan_bore("hole", bore, plate=8.0, process=process, way=way)]
    ]
    for one, reason in found:
        assert "\n" not in reason
        assert "None" not in reason
        word = {"finished": "used as cut", "mark": "drill", "pilot": "open up"}
        assert word.get(one.way, "ream") in reason
