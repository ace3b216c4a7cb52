"""Lines of no length and sides that do not fit: told at their key, everywhere alike."""

import cmath
import json
import math
import warnings
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from linkage.commands import footwell
from linkage.faults import DesignError, Fault
from linkage.loading import load_text
from linkage.places import Places
from linkage.words.level import judge
from solvers.jet import value
from tests.cases_count import many

PEDAL = """\
[point]
s = {s}
t = {t}
[pedal.brake]
pivot = [120, 545]
pad = [35, 255]
clevis = {clevis}
travel = 60
[pedal.brake.holes]
spare = {spare}
[[pedal.brake.train]]
part = "lever"
pivot = {own}
input = {input}
{rod}
output = [300, 510]
[[pedal.brake.train]]
part = "cylinder"
seat = [300, 600]
axis = "up"
"""
PLAIN = {
    "s": "[90, 500]",
    "t": "[80, 400]",
    "clevis": "[106, 484.5]",
    "spare": "[110, 500]",
    "own": "[260, 520]",
    "input": "[255, 470]",
    "rod": "",
}
STRING = '{{ line = ["{}", "{}"], along = 5, {} = 3 }}'
OFF = '{{ from = "{}", reach = 40, angle = 9, off = "{}" }}'


def faults(**given: str) -> tuple[Fault, ...]:
    try:
        judge(load_text(PEDAL.format(**(PLAIN | given))))
    except DesignError as error:
        return error.faults
    return ()


@pytest.mark.parametrize("form", [STRING, OFF])
@pytest.mark.parametrize("place", ["t", "clevis", "spare", "input"])
@pytest.mark.parametrize("s", ["[120, 545]", '[120, "500 to 590"]', '"brake.pivot"'])
def test_two_names_of_one_place_give_no_line(form: str, place: str, s: str) -> None:
    """Every form of a line, in every kind of point; where the two come to one place."""
    name = "brake.pivot" if place == "t" else "pivot"
    (fault,) = faults(**{place: form.format(name, "s", "ahead"), "s": s})
    assert fault.wrong == f"{name} and s are the same place, and give no line."
    assert fault.key.endswith(place)
    assert fault.line


def test_off_its_own_base_gives_no_line() -> None:
    (fault,) = faults(clevis=OFF.format("pivot", "pivot", ""))
    assert fault.wrong == "pivot and pivot are the same place, and give no line."


def test_a_line_that_vanishes_within_a_range_stops_nobody() -> None:
    """Outside the one place it is a line; the search passes over it in silence."""
    text = PEDAL.format(
        **PLAIN
        | {
            "s": '[120, "500 to 590 near 510"]',
            "spare": STRING.format("pivot", "s", "ahead"),
        }
    )
    design = load_text(text)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        here = Places(design, {"point.s.z": 545.0}).point("brake.holes.spare")
    assert np.isnan(value(here))


def test_side_words_fit_how_the_line_lies() -> None:
    """By own angle: nearer level up or down, steeper ahead or back, near 45 both."""
    rng = np.random.default_rng(6)
    for _ in range(many(400)):
        angle = rng.uniform(-180.0, 180.0)
        far = 90 + 500j + 60.0 * cmath.exp(1j * math.radians(angle))
        steep = abs(abs(((angle + 90.0) % 180.0) - 90.0))
        if min(abs(steep - 30.0), abs(steep - 60.0)) < 0.01:
            continue
        for word in ("up", "down", "ahead", "back"):
            level = word in ("up", "down")
            fits = steep < 60.0 if level else steep > 30.0
            spare = STRING.format("s", "t", word)
            found = faults(spare=spare, t=f"[{far.real!r}, {far.imag!r}]")
            assert (not found) is fits, (angle, word)
            if not fits:
                other = "ahead or back" if level else "up or down"
                assert found[0].right == f"Write {other}."
                assert found[0].key == "holes.spare"


@pytest.mark.parametrize(
    ("own", "fit"),
    [("[260, 520]", ("above", "below")), ("[106, 400]", ("ahead", "back"))],
)
def test_the_side_of_an_input_fits_too(own: str, fit: tuple[str, str]) -> None:
    for side in ("above", "below", "ahead", "back"):
        point = f'{{ from = "own pivot", reach = 50, side = "{side}" }}'
        found = faults(own=own, input=point, rod="rod = 120")
        unfit = [each for each in found if "does not say which side" in each.wrong]
        assert bool(unfit) is (side not in fit)
        assert all(each.right == f"Write {fit[0]} or {fit[1]}." for each in unfit)


@pytest.mark.parametrize("share", [0.3, 1.0, 1.7, -0.4])
def test_a_typed_input_on_its_line_does_not_say_its_side(share: float) -> None:
    own, hole = 260 + 520j, 106 + 484.5j
    here = own + share * (hole - own)
    (fault,) = faults(input=f"[{here.real!r}, {here.imag!r}]", rod="rod = 150")
    assert "does not say which side is meant" in fault.wrong
    assert 'Write side: { from = "own pivot"' in fault.right
    assert fault.key == "train 1: input"


def test_a_lever_on_its_driving_hole_has_no_line() -> None:
    (fault,) = faults(own='"clevis"', rod="rod = 150")
    assert fault.wrong == "own pivot and clevis are the same place, and give no line."


COMMANDS = (
    *(("show",), ("show", "--json"), ("place",), ("sweep", "--json")),
    *(("cut", "-o", "x.dxf", "--force"), ("pattern", "-o", "x.pdf", "--force")),
)


@pytest.mark.parametrize("one", PLAIN)
def test_no_two_points_at_one_place_end_in_the_programs_own_fault(
    one: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each point on each other one, for every command: no code 3, no warning, no nan."""
    monkeypatch.chdir(tmp_path)
    names = ["brake.pivot", "brake.pad", "brake.clevis", "s", "brake.train.1.pivot"]
    names += ["brake.train.1.output", "brake.train.2.seat", "brake.train.1.input"]
    for name in names if one != "rod" else names[:0]:
        text = PEDAL.format(
            **PLAIN
            | {"spare": STRING.format("pivot", "s", "back")}
            | {one: f'"{name}"'}
        )
        Path("x.toml").write_text(text, encoding="utf-8")
        for command, *more in COMMANDS:
            result = CliRunner().invoke(footwell, [command, "x.toml", *more])
            assert result.exit_code in (0, 1, 2), (name, command, result.stderr)
            assert "nan" not in result.stdout.lower()
            if "--json" in more:
                json.loads(result.stdout)
