"""Marches against closed forms: branches kept, limits found, every ending."""

import numpy as np
import pytest

from solvers.march import MESSAGES, End, Path, Stride, march
from solvers.newton import push, rate
from solvers.rows import Along, Carried, Given, Length, Row, Unrolled
from solvers.system import System, assemble
from tests.cases_count import many
from tests.solvers.mechanisms import FourBar, SliderCrank

CRANK_ROCKER = FourBar(a=40.0, b=120.0, c=80.0, d=100.0)
FLAT = FourBar(a=40.0, b=100.0, c=40.0, d=100.0, side=1.0)  # a parallelogram


def run(bar: FourBar, theta: float, to: float, stride: Stride | None = None) -> Path:
    return march(bar.system(), bar.start(theta, bar.hole(theta)), "turn", to, stride)


def bare(*rows: Row) -> Path:
    system = assemble(points=("a", "b"), numbers=("t",), rows=rows, held=("a",))
    return march(system, system.state({"a": 0.0, "b": 10.0, "t": 0.0}), "t", 1.0)


def third_crank(length: float) -> Path:
    """The parallelogram with a third link: of its own length it moves, else not far."""
    bar = FLAT.system()
    q = FLAT.start(1.0, FLAT.hole(1.0))
    up = FLAT.crank(1.0)
    system = assemble(
        points=(*bar.points, "g3", "m"),
        numbers=bar.numbers,
        held=("o", "g", "g3"),
        rows=(
            *bar.rows,
            Length(a="a", b="m", length=30.0),
            Length(a="m", b="b", length=70.0),
            Length(a="m", b="g3", length=length),
        ),
    )
    foot = 30.0 + up - length * np.exp(1j * 1.0)
    values = {n: bar.place(q, n) for n in bar.points}
    start = system.state({**values, "g3": foot, "m": up + 30.0, "turn": 1.0})
    return march(system, start, "turn", 2.0)


def produced(end: End) -> Path:
    """A march that ends so."""
    wheel = Carried(a="a", b="b", turn="t", arm=10.0)
    match end:
        case End.REACHED:
            return run(CRANK_ROCKER, 0.5, 4.0)
        case End.FOLD:
            return run(FourBar(a=80.0, b=40.0, c=80.0, d=100.0), 1.0, 3.0)
        case End.CROSSING:
            return run(FLAT, 1.0, 4.0)
        case End.OPEN:
            return bare(Length(a="a", b="b", length=1.0), Given(a="t", value=5.0))
        case End.LOOSE:
            return bare(Length(a="a", b="b", length=10.0))
        case End.RIGID:
            return bare(wheel, Given(a="t", value=0.0))
        case End.LOST:
            return third_crank(35.0)
        case End.SPENT:
            return run(CRANK_ROCKER, 0.5, 4.0, Stride(budget=3))


@pytest.mark.parametrize("end", End)
def test_every_ending_can_be_had_and_says_what_it_means(end: End) -> None:
    path = produced(end)
    assert path.end is end
    assert path.message == MESSAGES[end]
    assert (path.limit is not None) == (end in (End.FOLD, End.CROSSING))
    if end is not End.REACHED:
        with pytest.raises(ValueError, match=MESSAGES[end]):
            path.at(4.0)


def test_a_parallel_third_crank_is_redundant_and_moves() -> None:
    path = third_crank(40.0)
    assert path.end is End.REACHED
    system, q = path.curve.system, path.at(2.0)
    up = FLAT.crank(2.0)
    assert system.place(q, "b") == pytest.approx(100.0 + up, abs=1e-9)
    assert system.place(q, "m") == pytest.approx(30.0 + up, abs=1e-9)


def test_branches_cross_where_the_parallelogram_lies_flat() -> None:
    path = produced(End.CROSSING)
    assert path.limit == pytest.approx(np.pi, abs=1e-7)
    hole = path.curve.system.place(path.nodes[-1].q, "b")
    assert hole == pytest.approx(60.0, abs=1e-5)


def test_branches_that_only_pass_close_are_not_mixed_up() -> None:
    """Almost a parallelogram: the crank goes round, on its own branch all the way."""
    bar = FourBar(a=40.0, b=100.0, c=40.2, d=100.3)
    for nearly in (bar, FourBar(a=40.0, b=100.3, c=40.2, d=100.0)):
        path = run(nearly, 1.0, 1.0 + 2.0 * np.pi)
        limit = first_limit(nearly, 1.0, 1.0)
        assert path.end is (End.REACHED if limit is None else End.FOLD)
        for node in path.nodes[:-1]:
            theta = path.curve.system.number(node.q, "turn")
            hole = path.curve.system.place(node.q, "b")
            assert abs(hole - nearly.hole(theta)) < 1e-8


def random_case(case: int) -> tuple[FourBar, float, float]:
    """A bar, where its crank starts, and a turn of up to half a round."""
    rng = np.random.default_rng(case)
    while True:
        a, b, c, d = rng.uniform(20, 200, 4)
        bar = FourBar(
            a=a,
            b=b,
            c=c,
            d=d,
            side=float(rng.choice([-1.0, 1.0])),
            tilt=float(rng.uniform(-3, 3)),
            at=complex(*rng.uniform(-300, 300, 2)),
        )
        theta = float(rng.uniform(0.1, np.pi - 0.1))
        reach = abs(bar.ground - bar.crank(theta))
        if abs(b - c) + 2.0 < reach < b + c - 2.0:
            return bar, theta, float(rng.choice([-1.0, 1.0]))


def first_limit(bar: FourBar, theta: float, sense: float) -> float | None:
    """The nearest limit crank angle on the way, in (theta, theta + sense * 2 pi)."""
    around = [
        s * k + 2 * np.pi * n for k in bar.limits() for s in (1, -1) for n in (-1, 0, 1)
    ]
    ahead = sorted(sense * (k - theta) for k in around if sense * (k - theta) > 0.0)
    return theta + sense * ahead[0] if ahead else None


@pytest.mark.parametrize("case", range(many(300)))
def test_random_four_bars_keep_their_branch_up_to_the_limit(case: int) -> None:
    bar, theta, sense = random_case(case)
    path = run(bar, theta, theta + sense * np.pi)
    limit = first_limit(bar, theta, sense)
    if limit is not None and abs(limit - theta) < np.pi:
        assert path.end is End.FOLD
        assert path.limit == pytest.approx(limit, abs=1e-9)
    else:
        assert path.end is End.REACHED
        limit = theta + sense * np.pi
    for share in (0.0, 0.2, 0.5, 0.9, 0.999):
        now = theta + share * (limit - theta)
        q = path.at(now)
        assert path.curve.system.number(q, "turn") == pytest.approx(now, abs=1e-13)
        assert abs(path.curve.system.place(q, "b") - bar.hole(now)) < 1e-9
        assert np.max(np.abs(path.curve.system.residual(q))) <= 1e-12


@pytest.mark.parametrize("case", range(many(300)))
def test_random_slider_cranks(case: int) -> None:
    rng = np.random.default_rng(case)
    crank = SliderCrank(
        a=rng.uniform(30, 150),
        b=rng.uniform(60, 250),
        offset=rng.uniform(-20, 20),
        side=float(rng.choice([-1.0, 1.0])),
        tilt=rng.uniform(-3, 3),
    )
    theta, to = (0.1, 1.5) if case % 2 else (0.1, -1.5)
    path = march(crank.system(), crank.start(theta, crank.along(theta)), "turn", to)
    met = [k for k in crank.limits() if min(theta, to) < k < max(theta, to)]
    if met:
        assert path.end is End.FOLD
        assert path.limit == pytest.approx(met[0], abs=1e-9)
        to = met[0]
    else:
        assert path.end is End.REACHED
    for share in (0.3, 0.9, 0.999):
        now = theta + share * (to - theta)
        q = path.at(now)
        system = path.curve.system
        assert system.number(q, "way") == pytest.approx(crank.along(now), abs=1e-9)


def test_locate_finds_dead_centres() -> None:
    """In line at 0 and pi: the slider of an in-line crank rests there."""
    crank = SliderCrank(a=40.0, b=150.0)
    path = march(crank.system(), crank.start(-1.0, crank.along(-1.0)), "turn", 4.0)
    system = path.curve.system
    way = system.where("way")[0]
    found = path.locate(lambda _, tangent: float(tangent[way]))
    got = [system.number(q, "turn") for q in found]
    np.testing.assert_allclose(got, [0.0, np.pi], atol=1e-12)


def test_locate_finds_a_level() -> None:
    crank = SliderCrank(a=40.0, b=150.0, offset=7.0)
    path = march(crank.system(), crank.start(0.3, crank.along(0.3)), "turn", 1.3)
    system = path.curve.system
    (q,) = path.locate(lambda q, _: system.number(q, "way") - crank.along(0.9))
    assert system.number(q, "turn") == pytest.approx(0.9, abs=1e-13)


def test_a_fold_beyond_the_destination_is_not_met() -> None:
    """Within one step of each other: the destination comes first."""
    bar = FourBar(a=80.0, b=40.0, c=80.0, d=100.0)
    limit = produced(End.FOLD).limit
    assert limit is not None
    path = run(bar, 1.0, limit - 1e-7)
    assert path.end is End.REACHED
    q = path.at(limit - 1e-7)
    assert abs(path.curve.system.place(q, "b") - bar.hole(limit - 1e-7)) < 1e-9
    assert run(bar, 1.0, limit + 1e-7).end is End.FOLD


def test_a_path_cut_short_ends_there() -> None:
    """What it passes within one step and back is seen once the step is cut."""
    crank = SliderCrank(a=40.0, b=150.0)
    whole = march(crank.system(), crank.start(-0.9, crank.along(-0.9)), "turn", 0.9)
    system = whole.curve.system
    short = whole.upto(0.3)
    assert (short.end, short.nodes[0]) == (End.REACHED, whole.nodes[0])
    assert system.number(short.nodes[-1].q, "turn") == pytest.approx(0.3, abs=1e-15)
    now = short.at(0.29)
    assert system.number(now, "way") == pytest.approx(crank.along(0.29), abs=1e-11)
    with pytest.raises(ValueError, match="did not pass"):
        short.at(0.31)
    assert len(whole.upto(-0.9).nodes) == 1


def test_nowhere_to_go_is_there_already() -> None:
    path = run(CRANK_ROCKER, 0.5, 0.5)
    assert (path.end, path.count) == (End.REACHED, 0)
    assert path.curve.system.number(path.at(0.5), "turn") == 0.5
    with pytest.raises(ValueError, match="did not pass"):
        path.at(0.4)


def test_a_march_of_numbers_alone() -> None:
    """A wheel of 20 unrolls onto one of 50: 5 : 2."""
    system = assemble(
        points=(),
        numbers=("t", "u"),
        rows=(Unrolled(a="t", b="u", radius_a=20.0, radius_b=-50.0),),
    )
    path = march(system, np.zeros(2), "t", 5.0)
    assert path.at(5.0).tolist() == pytest.approx([5.0, 2.0], abs=1e-13)


@pytest.mark.parametrize("case", range(many(50)))
@pytest.mark.parametrize("law", ["mirror", "scale", "turned"])
def test_symmetry(case: int, law: str) -> None:
    """A mirrored, scaled or turned mechanism makes the same motion so changed."""
    bar, theta, sense = random_case(case)
    size = 7.3 if law == "scale" else 1.0
    tilt = {"mirror": -bar.tilt, "scale": bar.tilt, "turned": bar.tilt + 0.7}[law]
    flip = -1.0 if law == "mirror" else 1.0
    at = bar.at.conjugate() if law == "mirror" else bar.at * size
    other = FourBar(
        a=bar.a * size,
        b=bar.b * size,
        c=bar.c * size,
        d=bar.d * size,
        side=bar.side * flip,
        tilt=tilt,
        at=at * np.exp(0.7j) if law == "turned" else at,
    )
    one = run(bar, theta, theta + sense)
    two = run(other, flip * theta, flip * (theta + sense))
    assert one.end is two.end
    last = one.limit if one.limit is not None else theta + sense
    if one.limit is not None and two.limit is not None:
        assert two.limit == pytest.approx(flip * one.limit, abs=1e-9)
    q = one.at(theta + 0.9 * (last - theta))
    p = two.at(flip * (theta + 0.9 * (last - theta)))
    b = one.curve.system.place(q, "b") * size
    b = {"mirror": b.conjugate(), "scale": b, "turned": b * np.exp(0.7j)}[law]
    assert abs(two.curve.system.place(p, "b") - b) < 1e-9 * size


def turns(path: Path, at: float) -> float:
    """Rate of the rocker by the crank."""
    held: System = path.curve.system.holding("turn")
    q = path.at(at)
    arm = held.place(q, "b") - held.place(q, "g")
    v = held.place(rate(held, q, push(held, turn=1.0)), "b")
    return float((v / arm).imag)


def test_rates_along_a_march_sum_to_the_motion() -> None:
    """Gauss-Legendre of the rocker's rate = its turn."""
    path = run(CRANK_ROCKER, 0.5, 2.0)
    x, w = np.polynomial.legendre.leggauss(20)
    total = 0.75 * sum(
        k * turns(path, 1.25 + 0.75 * float(s)) for s, k in zip(x, w, strict=True)
    )
    want = CRANK_ROCKER.rocker(2.0) - CRANK_ROCKER.rocker(0.5)
    assert total == pytest.approx(want, abs=1e-10)


def test_a_driver_may_be_a_length() -> None:
    """A screw jack: the slider drives, the crank follows to its fold in line."""
    crank = SliderCrank(a=40.0, b=150.0)
    path = march(crank.system(), crank.start(1.0, crank.along(1.0)), "way", 300.0)
    assert path.end is End.FOLD
    assert path.limit == pytest.approx(190.0, abs=1e-9)


def test_along_starts_from_where_it_is_told() -> None:
    system = assemble(
        points=("a",),
        numbers=("w",),
        rows=(Along(a="a", way="w", start=5j, along=2.0),),
    )
    path = march(system, np.zeros(3), "w", 3.0)
    assert system.place(path.at(3.0), "a") == pytest.approx(3 + 5j)
