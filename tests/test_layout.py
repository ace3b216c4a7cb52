"""The house: public names, leaves that know nothing of pedals, small files."""

import re
import types
from pathlib import Path

import pytest

import linkage

ROOT = Path(__file__).parent.parent
PACKAGES = ("linkage", "solvers", "export")
LEAVES = ("solvers", "export")
PEDAL_WORDS = re.compile(
    r"pedal|brake|clutch|throttle|piston|bulkhead|pushrod|footwell|clevis",
    re.IGNORECASE,
)
#: Where a leaf says what it must never know.
DENIALS = {"solvers/__init__.py", "export/__init__.py"}
#: More than this and a file holds two subjects.
LONGEST = 420


def sources(*packages: str) -> list[Path]:
    return [file for p in packages for file in sorted((ROOT / p).rglob("*.py"))]


def test_the_public_names_are_these() -> None:
    """Adding one is a decision: it shows here."""
    assert set(linkage.__all__) == {
        *("DesignError", "load", "load_text", "outline", "place", "sweep", "write"),
    }
    assert dir(linkage) == sorted(linkage.__all__)


@pytest.mark.parametrize("name", linkage.__all__)
def test_a_public_name_is_what_it_says(name: str) -> None:
    """Twice: a module of the same name would win the second time."""
    for _ in range(2):
        found = getattr(linkage, name)
        assert found.__name__ == name
        assert not isinstance(found, types.ModuleType)
        assert found.__doc__


def test_a_name_that_is_not_public() -> None:
    with pytest.raises(AttributeError, match="no attribute 'pedals'"):
        _ = linkage.pedals


@pytest.mark.parametrize(
    "file", sources(*LEAVES), ids=lambda f: str(f.relative_to(ROOT))
)
def test_a_leaf_knows_no_pedal(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    if file.relative_to(ROOT).as_posix() in DENIALS:
        text = text.replace("pedal", "")
    assert PEDAL_WORDS.findall(text) == []


def test_no_file_is_a_drawer_for_odds_and_ends() -> None:
    names = {file.stem for file in sources(*PACKAGES)}
    assert not names & {"utils", "util", "helpers", "common", "core", "misc"}


@pytest.mark.parametrize(
    "file", sources(*PACKAGES), ids=lambda f: str(f.relative_to(ROOT))
)
def test_a_file_holds_one_subject(file: Path) -> None:
    assert len(file.read_text(encoding="utf-8").splitlines()) <= LONGEST


def test_no_test_file_is_left_out() -> None:
    """What looks like a test is named like one, so that it is collected."""
    odd = [
        str(file.relative_to(ROOT))
        for file in sources("tests")
        if re.search(r"^def test_", file.read_text(encoding="utf-8"), re.MULTILINE)
        and not file.name.startswith(("test_", "bench_"))
    ]
    assert odd == []
