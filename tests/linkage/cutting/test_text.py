"""What the builder is told: the figures of the job, what to finish, what to mind."""

import pytest
from msgspec.structs import replace

from linkage.arm.plan import ArmPlan
from linkage.cutting.check import Verdict
from linkage.cutting.job import cut_arm
from linkage.cutting.text import WIDTH, job_text
from tests.linkage.arm.plans import HANGING, LAYOUTS


def test_a_sound_job() -> None:
    job = cut_arm(HANGING)
    told = " ".join(job_text(job).split())
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
        "licensed engineer",
    ):
        assert words in told
    assert "guessed" not in told
    assert "nan" not in told


@pytest.mark.parametrize("plan", LAYOUTS.values(), ids=LAYOUTS.keys())
def test_every_layout_is_told_in_lines_of_a_readable_length(plan: ArmPlan) -> None:
    told = job_text(cut_arm(plan, units="in"))
    assert "file in inches" in told
    assert max(map(len, told.split("\n"))) <= WIDTH
    assert " in) over all" in told
    assert not told.endswith("\n")


def test_guesses_and_a_pad_without_a_stand_are_told() -> None:
    told = " ".join(
        job_text(cut_arm(replace(HANGING, bores={}, pad_stand=None))).split()
    )
    assert "guessed" in told
    assert "bore of clevis: 8" in told
    assert "about the pad point itself" in told


def test_a_job_that_fails_says_which_rule_and_why() -> None:
    job = cut_arm(HANGING)
    bad = Verdict(name="smooth", ok=False, sentence="a kink of 3 degrees at 1, 2")
    failed = replace(job, verdicts=(*job.verdicts[:-1], bad))
    assert not failed.ok
    told = job_text(failed)
    assert "19 of 20 right, NOT FIT" in told
    assert "smooth: a kink of 3 degrees at 1, 2" in told


def test_one_pierce_is_one() -> None:
    assert "1 pierce," in job_text(cut_arm(LAYOUTS["plasma"]))
