"""What only numbers show: every fault at once, and alike whichever command is asked."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from linkage.commands import footwell
from linkage.design.frees import rests_on
from linkage.design.records import Chosen
from linkage.faults import DesignError
from linkage.loading import load_text
from linkage.page.document import read
from linkage.places import Places
from linkage.placing.place import place
from linkage.words.sound import check
from solvers.jet import seed, value
from tests.linkage.design.samples import BRAKE

CLUTCH = BRAKE.partition("[pedal.brake]")[2].replace("brake", "clutch")
BOTH = f"{BRAKE}\n[pedal.clutch]{CLUTCH}"
LOST = ("seat = [233, 487]", "seat = [-233, 487]")
FREE_BORE = ('bore = "3/4 in"', 'bore = { one_of = ["0.70 in", "3/4 in"] }')


def told(text: str, tmp_path: Path, command: str) -> list[str]:
    """Return what a command says of a file that it refuses."""
    file = tmp_path / "x.toml"
    file.write_text(text, encoding="utf-8")
    result = CliRunner().invoke(footwell, [command, str(file)])
    assert result.exit_code == 2, result.output
    return result.stderr.replace(str(file), "x").splitlines()


def alike(text: str, tmp_path: Path) -> list[str]:
    """Return what every command says of a file, and that they say the same."""
    said = [told(text, tmp_path, command) for command in ("show", "sweep", "place")]
    assert said[0] == said[1] == said[2]
    return said[0]


def test_signs_lost_in_two_pedals_are_told_at_once(tmp_path: Path) -> None:
    assert len(alike(BOTH.replace(*LOST), tmp_path)) == 2
    open_too = BOTH.replace(*LOST).replace(*FREE_BORE)
    assert len(told(open_too, tmp_path, "show")) == 2
    assert len(told(open_too, tmp_path, "sweep")) == 2


def test_a_level_pad_beside_a_sign_lost(tmp_path: Path) -> None:
    text = BOTH.replace("[35, 255]", "[-165, 545]", 1)
    text = text[::-1].replace(LOST[0][::-1], LOST[1][::-1], 1)[::-1]
    level, lost = alike(text, tmp_path)
    assert "off level" in level
    assert "behind its hole" in lost


def test_targets_that_cannot_be_measured_are_told_by_all(tmp_path: Path) -> None:
    """All of them, also where nothing is free and beside a sign lost."""
    text = BOTH.replace('of = "stroke"', 'of = "cable pull"')
    said = alike(text, tmp_path)
    assert ["has no cable pull" in line for line in said] == [True, True]
    assert len(alike(text.replace(*LOST), tmp_path)) == 4


@pytest.mark.parametrize("also", ["", "travl = 3\n", 'press = "sideways"\n'])
def test_circles_are_told_beside_other_faults(also: str) -> None:
    """A circle in each pedal, whatever else is wrong with it."""
    head = BOTH.replace("[106, 484.5]", '{ from = "clevis", up = 1 }')
    text = head.replace("travel = 120\n", f"travel = 120\n{also}")
    with pytest.raises(DesignError) as refusal:
        load_text(text)
    said = [fault.wrong for fault in refusal.value.faults]
    assert sum("is counted from itself" in each for each in said) == 2
    assert len(said) == (4 if also else 2)


# ------------------------------------------------------------------------- welded

POINT = '[point]\nshaft = ["118 to 122", 540]\n'
WELDED = {
    "the shared point it is": ("[120, 545]", '"shaft"', "pivot", "point.shaft.x"),
    "counted from what is free": (
        "[106, 484.5]",
        '{ from = "shaft", down = 60, back = 14 }',
        "clevis",
        "point.shaft.x",
    ),
    "off a string to it": (
        "[106, 484.5]",
        '{ line = ["shaft", "pad"], along = 61 }',
        "clevis",
        "point.shaft.x",
    ),
    "off an angle to it": (
        "[106, 484.5]",
        '{ from = "pivot", reach = 62, angle = 2, off = "shaft" }',
        "clevis",
        "point.shaft.x",
    ),
    "chosen": ("[106, 484.5]", '{ one_of = ["a", "b"] }', "clevis", "brake.clevis"),
    "its own": ("[106, 484.5]", '["100 to 110", 484.5]', "clevis", "brake.clevis.x"),
    "a seat by its depth": (
        "seat = [233, 487]",
        'face = [222, 487]\ndepth = "5 to 20"',
        "train.1.seat",
        "brake.train.1.depth",
    ),
    "a seat by its rod": (
        "seat = [233, 487]",
        'on = [222, 487]\nrod = "120 to 130"',
        "train.1.seat",
        "brake.train.1.rod",
    ),
    "a seat by rod and hole": (
        "[106, 484.5]",
        '["100 to 110", 484.5]',
        "train.1.seat",
        "brake.clevis.x",
    ),
}


@pytest.mark.parametrize("which", WELDED)
def test_nothing_may_move_what_is_welded(which: str, tmp_path: Path) -> None:
    """Refused in the same words by each command, the page and from Python."""
    old, new, name, path = WELDED[which]
    text = BRAKE.replace(old, new)
    if "rod and hole" in which:
        text = text.replace("seat = [233, 487]", "on = [222, 487]\nrod = 127")
    holes = "holes = { a = [106, 484.5], b = [105, 480] }\n" if "one_of" in new else ""
    free = text.replace("travel = 120\n", f"travel = 120\n{holes}") + POINT
    load = free.replace("travel = 120\n", f'travel = 120\nlocked = ["{name}"]\n')
    check(load_text(free))
    (line,) = alike(load, tmp_path)
    said = f"{path}: {name} is locked (welded), and this leaves it free to move."
    assert said in line
    assert [str(fault) for fault in read(load, "x").faults] == [line]
    with pytest.raises(DesignError, match="welded"):
        place(load_text(load))


def test_what_does_not_move_it_may_be_free() -> None:
    """The hole is free, and pad and seat are welded: neither rests on it."""
    text = BRAKE.replace("[106, 484.5]", '["100 to 110", 484.5]')
    text = text.replace(
        "travel = 120", 'travel = 120\nlocked = ["pad", "train.1.seat"]'
    )
    check(load_text(text))
    assert place(load_text(text)).status == "placed"


def test_a_point_rests_on_just_what_moves_it() -> None:
    """Against the derivative of its place by every number of the file."""
    for which in WELDED:
        old, new, name, _ = WELDED[which]
        if "one_of" in new:
            continue
        design = load_text(BRAKE.replace(old, new) + POINT)
        values = list(design.values.values())
        seeds = {
            each.path: seed(each.nominal, i, len(values))
            for i, each in enumerate(values)
        }
        canonical = f"brake.{name}"
        slopes = getattr(Places(design, seeds).point(canonical), "g", None)
        moved = {
            each.path
            for i, each in enumerate(values)
            if slopes is not None and abs(complex(value(slopes[i].ravel()[0]))) > 1e-12
        }
        found = rests_on(design, canonical)
        assert not any(isinstance(each, Chosen) for each in found)
        assert moved <= {each.path for each in found}, which
