"""Every test must be able to fail: the sources of the tests are walked for those that
look at nothing, compare a thing with itself, or state what is true anyway."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

HERE = Path(__file__).parent
SOURCES = sorted(HERE.rglob("*.py"))
#: Calls that judge, besides ``assert`` itself.
JUDGES = {"raises", "warns", "fail", "deprecated_call"}

Function = ast.FunctionDef | ast.AsyncFunctionDef


def parsed(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def last_name(call: ast.Call) -> str:
    """Return the name that is called, without what stands before the dot."""
    target = call.func
    return getattr(target, "attr", getattr(target, "id", ""))


def judges(node: ast.AST, helpers: frozenset[str] = frozenset()) -> bool:
    """Return True where a piece of code can fail on purpose."""
    return any(
        isinstance(each, ast.Assert)
        or (
            isinstance(each, ast.Call)
            and (
                last_name(each) in JUDGES | helpers
                or last_name(each).startswith("assert_")
            )
        )
        for each in ast.walk(node)
    )


def functions(tree: ast.Module) -> Iterator[Function]:
    return (node for node in ast.walk(tree) if isinstance(node, Function))


def helpers() -> frozenset[str]:
    """Return the helpers in all test sources that judge, alone or by another."""
    known: frozenset[str] = frozenset()
    every = [f for path in SOURCES for f in functions(parsed(path))]
    every = [f for f in every if not f.name.startswith("test_")]
    while True:
        found = frozenset(f.name for f in every if judges(f, known))
        if found == known:
            return known
        known = found


def blind(tree: ast.Module, known: frozenset[str]) -> list[str]:
    """Return the tests that look at nothing."""
    tests = (f for f in functions(tree) if f.name.startswith("test_"))
    return [
        f"{f.lineno}: {f.name} asserts nothing" for f in tests if not judges(f, known)
    ]


def is_idle(test: ast.expr) -> bool:
    """Return True for what holds whatever the code does."""
    if isinstance(test, ast.Constant):
        return bool(test.value)
    if isinstance(test, ast.Tuple):
        return bool(test.elts)
    if isinstance(test, ast.BoolOp) and isinstance(test.op, ast.Or):
        return any(map(is_idle, test.values))
    if isinstance(test, ast.Compare):
        sides = [test.left, *test.comparators]
        pairs = zip(sides, test.ops, sides[1:], strict=False)
        return any(_same(left, right) for left, op, right in pairs if _equals(op))
    return False


def _equals(op: ast.cmpop) -> bool:
    return isinstance(op, ast.Eq | ast.Is | ast.LtE | ast.GtE)


def _same(left: ast.expr, right: ast.expr) -> bool:
    """Return True for one expression twice; a call may answer anew each time."""
    called = any(isinstance(each, ast.Call) for each in ast.walk(left))
    return not called and ast.dump(left) == ast.dump(_bare(right))


def _bare(side: ast.expr) -> ast.expr:
    """Return what ``pytest.approx(x)`` holds."""
    held = isinstance(side, ast.Call) and last_name(side) == "approx" and side.args
    return side.args[0] if held and isinstance(side, ast.Call) else side


def idle(tree: ast.Module) -> list[str]:
    """Return the assertions that cannot fail."""
    return [
        f"{node.lineno}: {ast.unparse(node)}"
        for node in ast.walk(tree)
        if isinstance(node, ast.Assert) and is_idle(node.test)
    ]


@pytest.fixture(scope="module")
def known() -> frozenset[str]:
    return helpers()


@pytest.mark.parametrize("path", SOURCES, ids=lambda p: str(p.relative_to(HERE)))
def test_every_test_can_fail(path: Path, known: frozenset[str]) -> None:
    tree = parsed(path)
    assert blind(tree, known) + idle(tree) == []


@pytest.mark.parametrize(
    "code",
    [
        "assert True",
        "assert x == x",
        "assert run['a'] == pytest.approx(run['a'])",
        "assert a < b or True",
        "assert (x, 'message')",
        "assert a <= b.c <= b.c",
    ],
)
def test_an_idle_assertion_is_seen(code: str) -> None:
    assert len(idle(ast.parse(code))) == 1


@pytest.mark.parametrize("code", ["assert x", "assert f() == f()", "assert x < x + y"])
def test_an_assertion_that_can_fail_is_left_alone(code: str) -> None:
    assert idle(ast.parse(code)) == []


@pytest.mark.parametrize("body", ["x = 1", "run(1)", "print(assertion)"])
def test_a_blind_test_is_seen(body: str) -> None:
    tree = ast.parse(f"def test_it():\n    {body}\n")
    assert len(blind(tree, frozenset({"look"}))) == 1


@pytest.mark.parametrize(
    "body", ["look(1)", "np.testing.assert_allclose(a, b)", "pytest.raises(E)"]
)
def test_a_test_that_looks_is_left_alone(body: str) -> None:
    tree = ast.parse(f"def test_it():\n    {body}\n")
    assert blind(tree, frozenset({"look"})) == []
