"""Names, packing, and the equations put together."""

import numpy as np
import pytest

from solvers.rows import Carried, Drawn, InLine, Joined, Length, Pinned
from solvers.system import System, assemble


def small() -> System:
    return assemble(
        points=("a", "b", "c"),
        numbers=("turn", "pull"),
        rows=(
            Carried(a="a", b="b", turn="turn", arm=3 + 4j),
            Drawn(a="b", b="c", pull="pull", rest=2.0),
            InLine(a="a", b="b", c="c"),
            Length(a="a", b="c", length=7.0),
        ),
        held=("a", "pull"),
    )


VALUES = {"a": 1 + 2j, "b": 4 + 6j, "c": 5 - 1j, "turn": 0.1, "pull": 0.5}


def test_a_state_holds_what_was_packed() -> None:
    system = small()
    q = system.state(VALUES)
    assert q.shape == (system.size,) == (8,)
    assert system.place(q, "c") == 5 - 1j
    assert system.number(q, "pull") == 0.5
    assert system.names == ("a", "b", "c", "turn", "pull")


def test_all_that_is_wrong_with_a_state_is_said_at_once() -> None:
    bad = {**VALUES, "turn": np.nan, "d": 0.0}
    del bad["b"]
    with pytest.raises(ValueError) as fault:
        small().state(bad)
    assert str(fault.value) == "b has no value; d is not known; turn is not finite"


def test_all_that_is_wrong_with_a_system_is_said_at_once() -> None:
    with pytest.raises(ValueError) as fault:
        assemble(
            points=("a", "a"),
            numbers=("t",),
            rows=(
                Length(a="a", b="t", length=1.0),
                Carried(a="a", b="a", turn="u", arm=1.0),
            ),
            held=("z",),
        )
    assert str(fault.value) == (
        "a is there twice; length a t: no point t; carried a a u: no number u; "
        "held: nothing is called z"
    )


def test_held_names_are_not_free() -> None:
    system = small()
    assert system.free.tolist() == [2, 3, 4, 5, 6]
    assert system.holding("c").free.tolist() == [2, 3, 6]
    assert system.holding("c").freeing("c", "a").free.tolist() == [0, 1, 2, 3, 4, 5, 6]
    assert system.held == {"a", "pull"}  # copies leave it alone


def test_jacobian_is_the_derivative_of_the_whole() -> None:
    system = small()
    q = system.state(VALUES)
    slopes = system.jacobian(q)
    assert slopes.shape == (5, 8)
    for i in range(system.size):
        p = q.astype(complex)
        p[i] += 1e-30j
        np.testing.assert_allclose(
            slopes[:, i], system.residual(p).imag / 1e-30, rtol=1e-14, atol=1e-15
        )


def test_a_row_may_tie_a_point_to_itself() -> None:
    system = assemble(points=("a",), rows=(Joined(a="a", b="a"),))
    np.testing.assert_array_equal(system.jacobian(np.ones(2)), np.zeros((2, 2)))


def test_equations_know_their_row() -> None:
    system = assemble(
        points=("a", "b"),
        rows=(Pinned(a="a", at=0.0), Length(a="a", b="b", length=1.0, name="rod")),
    )
    assert [system.label(i) for i in range(3)] == ["pinned a", "pinned a", "rod"]
