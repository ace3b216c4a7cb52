"""A call from Python that cannot be meant: one clear fault, and never nan back."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import linkage
from export.files import TakenError
from linkage.design.records import Design

NAN, INFINITE = float("nan"), float("inf")


@pytest.fixture(scope="module")
def brake() -> Design:
    return linkage.load("examples/brake-hanging.toml")


@pytest.fixture(scope="module")
def free() -> Design:
    return linkage.load("examples/brake-to-place.toml")


def the_fault(call: Callable[[], Any], key: str) -> str:
    """Return what one fault says, which must be about ``key``."""
    with pytest.raises(linkage.DesignError) as raised:
        call()
    (fault,) = raised.value.faults
    assert fault.key == key
    assert fault.wrong.endswith(".")
    assert fault.right.endswith((".", "..."))
    return fault.wrong


@pytest.mark.parametrize(
    "at",
    [
        *([NAN], [-5], [INFINITE], "x", ["x"], ["5"], 5, None, [None], [True], [1e9]),
        *({"a": 1}, [1j], [[1.0, 2.0]]),
    ],
    ids=repr,
)
def test_what_is_no_place_is_a_fault(brake: Design, at: Any) -> None:
    if at is None:  # as if left out
        assert len(linkage.sweep(brake, "brake", at=at)["travel"]) == 41
        return
    assert "place" in the_fault(lambda: linkage.sweep(brake, "brake", at=at), "at")


@pytest.mark.parametrize("at", [np.array([0.0, 50.0]), (0, 50), range(0, 60, 50)])
def test_any_row_of_numbers_is_places(brake: Design, at: Any) -> None:
    assert linkage.sweep(brake, "brake", at=at)["travel"].tolist() == [0.0, 50.0]


@pytest.mark.parametrize("count", [0, 1, -3, 2.5, "x", 10**9, NAN, True], ids=repr)
def test_what_is_no_count_is_a_fault(brake: Design, count: Any) -> None:
    the_fault(lambda: linkage.sweep(brake, "brake", positions=count), "positions")


@pytest.mark.parametrize("name", ["nope", "", 3, ["brake"]], ids=repr)
def test_a_pedal_that_is_not_there_is_a_fault(
    brake: Design, free: Design, name: Any, tmp_path: Path
) -> None:
    calls: tuple[Callable[[], Any], ...] = (
        lambda: linkage.sweep(brake, name),
        lambda: linkage.place(free, pedal=name),
        lambda: linkage.outline(brake, name),
        lambda: linkage.write(brake, tmp_path / "a.csv", pedal=name),
    )
    for call in calls:
        assert "there is no pedal" in the_fault(call, "pedal")
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("mark", [NAN, -1, 0.0, 11, "x", INFINITE], ids=repr)
def test_what_is_no_step_is_a_fault(free: Design, mark: Any) -> None:
    the_fault(lambda: linkage.place(free, mark=mark), "mark")


@pytest.mark.parametrize("seed", [-1, "x", 1.5, NAN], ids=repr)
def test_what_is_no_seed_is_a_fault(free: Design, seed: Any) -> None:
    the_fault(lambda: linkage.place(free, seed=seed), "seed")


@pytest.mark.parametrize(
    ("values", "says"),
    [({"nope": 3.0}, "nope"), ({"brake.pivot.back": NAN}, "is no number")],
)
def test_values_are_numbers_of_the_design(
    brake: Design, values: dict[str, float], says: str
) -> None:
    said = the_fault(lambda: linkage.sweep(brake, "brake", values=values), "values")
    assert says in said


@pytest.mark.parametrize(
    ("name", "options"),
    [
        ("a.dxf", {"form": "r13"}),
        ("a.dxf", {"units": "cm"}),
        ("a.pdf", {"paper": "a9"}),
        ("a.pdf", {"paper": 4}),
    ],
)
def test_a_word_that_is_none_of_a_choice_is_a_fault(
    brake: Design, name: str, options: dict[str, Any], tmp_path: Path
) -> None:
    (key,) = options
    the_fault(lambda: linkage.write(brake, tmp_path / name, **options), key)
    assert not list(tmp_path.iterdir())


def test_where_to_write_is_a_path(brake: Design) -> None:
    nowhere: Any = 3
    the_fault(lambda: linkage.write(brake, nowhere), "path")


def test_a_placement_is_written_as_the_command_writes_it(
    free: Design, tmp_path: Path
) -> None:
    placed = linkage.place(free)
    linkage.write(placed, tmp_path / "p.toml")
    assert (tmp_path / "p.toml").read_bytes() == placed.answers[0].text.encode()
    with pytest.raises(TakenError):
        linkage.write(placed, tmp_path / "p.toml")
    linkage.write(placed, tmp_path / "p.csv")
    again = linkage.load(tmp_path / "p.toml")
    linkage.write(again, tmp_path / "q.csv")
    one, two = (
        (tmp_path / name).read_text().splitlines() for name in ("p.csv", "q.csv")
    )
    assert one[2:] == two[2:]


def test_without_an_answer_nothing_is_written(tmp_path: Path) -> None:
    fight = linkage.place(linkage.load("examples/brake-wishes-fight.toml"))
    said = the_fault(lambda: linkage.write(fight, tmp_path / "p.toml"), "placement")
    assert "nothing was placed: conflict" in said
    assert not list(tmp_path.iterdir())
