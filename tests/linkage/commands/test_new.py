"""``footwell new``: files, cards, questions, and every call that cannot be used."""

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from linkage.commands import footwell
from linkage.templates import TEMPLATES


def run(*args: str, answers: str = "") -> Result:
    return CliRunner().invoke(footwell, ["new", *args], input=answers)


@pytest.fixture(autouse=True)
def _in_a_folder_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


@pytest.mark.parametrize("kind", TEMPLATES)
def test_it_writes_what_runs_and_says_what_to_measure(kind: str) -> None:
    result = run(kind, "-o", "mine.toml")
    assert result.exit_code == 0
    assert Path("mine.toml").read_text(encoding="utf-8") == TEMPLATES[kind].text
    for n, ask in enumerate(TEMPLATES[kind].asks, 1):
        assert re.search(rf"\({n}\) {ask.label} +{ask.hint}", result.stdout)
    assert "footwell show mine.toml" in result.stdout
    assert "footwell sweep mine.toml" in result.stdout
    assert max(map(len, result.stdout.splitlines())) <= 88
    swept = CliRunner().invoke(footwell, ["sweep", "mine.toml", "--json"])
    assert swept.exit_code == 0


def test_it_speaks_inches_where_it_is_asked_to() -> None:
    result = run(
        "clutch", "--units", "in", "--ask", "-o", "c.toml", answers="5\n" + "\n" * 8
    )
    assert "in inches (4 5/8)" in result.stdout
    assert "4 5/8, or yours" in result.stdout
    text = Path("c.toml").read_text(encoding="utf-8")
    assert 'pivot  = { back = 5, up = "21 1/2" }' in text
    assert 'units = "in"' in text
    result = run("clutch", "--units", "in", "-o", "d.toml", "--card", "card.pdf")
    assert 'Write "about 7/16"' in result.stdout
    assert "/MediaBox [ 0 0 612 792 ]" in Path("card.pdf").read_text("latin-1")
    assert run("clutch", "--units", "cm", "-o", "e.toml").exit_code == 2


def test_it_never_writes_over_a_file() -> None:
    Path("mine.toml").write_text("mine")
    for more in ([], ["--ask"]):
        result = run("clutch", "-o", "mine.toml", *more)
        assert (result.exit_code, result.stdout) == (2, "")
        assert "mine.toml: exists already" in result.stderr
        assert Path("mine.toml").read_text() == "mine"
    assert run("clutch", "-o", "mine.toml", "--force").exit_code == 0
    assert Path("mine.toml").read_text() == TEMPLATES["clutch"].text
    assert run("clutch", "-o", "mine.toml").exit_code == 2


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (["clutch"], "nothing says where"),
        (["clutch", "--ask"], "nothing says where"),
        (["clutch", "--ask", "--card", "c.svg"], "nothing says where"),
        (["cluch", "-o", "a.toml"], "Nearest: clutch. There are: hanging-brake"),
        (["\x1b[31m" + "x" * 99, "-o", "a.toml"], "There are: hanging-brake"),
        (["clutch", "-o", "a.txt"], 'the ending ".txt"'),
        (["clutch", "-o", "a"], "the ending"),
        (["clutch", "--card", "a.dxf"], "It writes .svg, .pdf, .png"),
        (["clutch", "-o", "none/a.toml"], "there is no folder none"),
        (["clutch", "-o", "none/a.toml", "--ask"], "there is no folder none"),
        (["clutch", "--card", "none/a.svg"], "there is no folder none"),
    ],
)
def test_a_bad_call_is_one_line_and_writes_nothing(args: list[str], says: str) -> None:
    result = run(*args)
    assert result.exit_code == 2
    assert result.stdout == ""
    assert len(result.stderr.splitlines()) == 1
    assert says in result.stderr
    assert "\x1b" not in result.stderr
    assert list(Path().iterdir()) == []


@pytest.mark.parametrize(
    "args", [[], ["clutch", "--nonsense"], ["clutch", "-o"], ["clutch", "a", "b"]]
)
def test_bad_usage_is_exit_2(args: list[str]) -> None:
    result = run(*args)
    assert (result.exit_code, result.stdout) == (2, "")
    assert len(result.stderr.splitlines()) == 1
    assert "--help lists what there is." in result.stderr


@pytest.mark.skipif(
    os.name != "posix" or os.geteuid() == 0, reason="this user may write anywhere"
)
def test_a_folder_that_cannot_be_written_to() -> None:
    Path("shut").mkdir(mode=0o500)
    result = run("clutch", "-o", "shut/a.toml")
    assert (result.exit_code, len(result.stderr.splitlines())) == (2, 1)


@pytest.mark.parametrize("ending", [".svg", ".pdf", ".png"])
def test_a_card_is_written_and_may_be_drawn_again(ending: str) -> None:
    name = f"card{ending}"
    assert run("throttle", "--card", name).exit_code == 0
    first = Path(name).read_bytes()
    assert run("throttle", "--card", name).exit_code == 0
    assert Path(name).read_bytes() == first
    if ending == ".svg":
        text = first.decode()
        assert all(f"({n})" in text for n in range(1, 9))
        assert "quadrant (9)" in text


def test_another_card_is_not_written_over() -> None:
    Path("card.svg").write_text("mine")
    assert run("throttle", "--card", "card.svg").exit_code == 2
    assert Path("card.svg").read_text() == "mine"


def test_card_and_file_are_written_both_or_none() -> None:
    Path("card.svg").write_text("mine")
    assert run("clutch", "-o", "a.toml", "--card", "card.svg").exit_code == 2
    assert not Path("a.toml").exists()
    assert run("clutch", "-o", "a.toml", "--card", "b.svg").exit_code == 0
    assert Path("a.toml").exists()
    assert Path("b.svg").exists()


def test_enter_alone_keeps_every_number() -> None:
    result = run("floor-brake", "-o", "a.toml", "--ask", answers="\n" * 9)
    assert result.exit_code == 0
    assert Path("a.toml").read_text() == TEMPLATES["floor-brake"].text
    asked = re.findall(r"^.*?\((\d)\) [a-z]", result.stdout, re.MULTILINE)
    assert asked == list("123456789")


def test_answers_are_asked_for_again_until_they_can_be_used() -> None:
    answers = "4 5/8 in\n1,5\nabout 540\n\n\n\n7.5\nzzz\n5 back\n\nabout 11\n"
    result = run("hanging-brake", "-o", "a.toml", "--ask", answers=answers)
    assert result.exit_code == 0
    assert "A decimal needs a dot: 1.5." in result.stdout
    assert '"zzz" is not a number' in result.stdout
    text = Path("a.toml").read_text()
    assert '{ back = "4 5/8 in", up = "about 540" }' in text
    assert "ahead = 7.5 }" in text
    assert "face      = { back = 5, up = 489.5 }" in text
    assert 'depth     = "about 11"' in text


def test_what_cannot_be_used_is_told_in_the_words_and_units_of_the_question() -> None:
    words = ("hanging-brake", "--units", "in", "-o", "a.toml", "--ask")
    result = run(*words, answers="\n3/4 back\n" + "\n" * 7 + "20 in\n\n")
    assert result.exit_code == 0
    assert '"3/4 back" is not up or down. Write 21 1/2, say' in result.stdout
    assert "is too great for the depth from the face" in result.stdout


def test_a_pedal_that_does_not_work_is_written_and_said() -> None:
    answers = "\n\n\n\n40\n\n500\n\n\n"  # a face 400 ahead is fine, 500 behind is not
    result = run(
        "clutch", "-o", "a.toml", "--ask", answers=answers.replace("500", "500 back")
    )
    assert result.exit_code == 1
    assert "As typed it does not work yet" in result.stderr
    assert "a.toml:" in result.stderr
    assert "500" in Path("a.toml").read_text()


def test_answers_that_stop_half_way_write_nothing() -> None:
    result = run("clutch", "-o", "a.toml", "--ask", answers="1\n2\n")
    assert result.exit_code == 2
    assert "the answers stop before (3). Nothing was written." in result.stderr
    assert not Path("a.toml").exists()


def test_a_real_process_asks_and_writes(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "linkage", "new", "throttle", "-o", "t.toml", "--ask"],
        input="\n" * 8 + "16.5\n",
        capture_output=True,
        text=True,
        check=True,
        cwd=tmp_path,
        env=os.environ | {"PYTHONPATH": str(Path(__file__).parents[3])},
    )
    assert "Wrote t.toml." in done.stderr
    assert "radius = 16.5 " in (tmp_path / "t.toml").read_text()


def test_a_sign_that_contradicts_the_question_is_asked_for_again() -> None:
    result = run(
        "hanging-brake", "-o", "a.toml", "--ask", answers="\n-560\n" + "\n" * 9
    )
    assert "    -560 lies on the other side of the mark than" in result.stdout
    assert "-560" not in Path("a.toml").read_text()


def test_a_minus_that_is_meant_is_typed_twice() -> None:
    answers = "\n\n-30\n-30\n" + "\n" * 9
    result = run("hanging-brake", "-o", "a.toml", "--ask", answers=answers)
    assert result.stdout.count("lies on the other side") == 1
    text = Path("a.toml").read_text()
    assert "ahead = 30," in text
    assert "-30" not in text


def test_a_card_with_a_strange_ending_is_a_fault_of_card() -> None:
    result = run("clutch", "--card", "x.txt")
    assert result.exit_code == 2
    assert result.stderr.startswith("x.txt: --card: the ending")


@pytest.mark.parametrize(
    ("kind", "name"),
    [
        ("hanging-brake", "brake.toml"),
        ("floor-brake", "brake.toml"),
        ("clutch", "clutch.toml"),
        ("throttle", "throttle.toml"),
    ],
)
def test_where_to_write_is_named_for_the_kind(kind: str, name: str) -> None:
    assert f"footwell new {kind} -o {name}, say." in run(kind).stderr
