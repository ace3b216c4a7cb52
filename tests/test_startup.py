"""What is loaded when: heavy libraries only by the work that needs them."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
HEAVY = {
    *("numpy", "scipy", "sympy", "mpmath", "matplotlib", "ezdxf", "tomlkit"),
    *("shapely", "rich", "PIL", "starlette", "uvicorn", "websockets"),
}
BRAKE = "examples/brake-hanging.toml"


def modules(package: str) -> str:
    """Return the import of every module of a package but ``__main__``, which runs."""
    files = sorted((ROOT / package).rglob("*.py"))
    names = [".".join(file.relative_to(ROOT).with_suffix("").parts) for file in files]
    kept = [name for name in names if not name.endswith("__main__")]
    return f"import {', '.join(name.removesuffix('.__init__') for name in kept)}"


def modules_after(code: str, folder: Path = ROOT) -> set[str]:
    """Return every module that a fresh interpreter holds when it ends."""
    ask = f"import atexit, sys; sys.path.insert(0, {str(ROOT)!r}); "
    ask += f"atexit.register(lambda: print(*sys.modules, file=sys.stderr)); {code}"
    run = subprocess.run(
        [sys.executable, "-c", ask],
        capture_output=True,
        text=True,
        check=True,
        cwd=folder,
    )
    return set(run.stderr.split())


def loaded(code: str, folder: Path = ROOT) -> set[str]:
    """Return which heavy libraries a fresh interpreter holds when it ends."""
    return HEAVY & modules_after(code, folder)


@pytest.mark.parametrize(
    ("code", "allowed"),
    [
        ("import linkage, export", set()),
        ("import solvers", set()),
        (modules("solvers"), {"numpy"}),
        (modules("export"), {"numpy"}),
        (modules("linkage"), {"numpy", "starlette"}),
        ("import linkage; linkage.sweep, linkage.load", {"numpy"}),
    ],
    ids=["faces", "solvers", "solvers all", "export all", "linkage all", "verbs"],
)
def test_an_import_loads_nothing_heavy(code: str, allowed: set[str]) -> None:
    assert loaded(code) <= allowed


@pytest.mark.parametrize(
    ("words", "allowed"),
    [
        (["--help"], set()),
        (["sweep", "--help"], set()),
        (["place", "--help"], set()),
        (["effort", "--help"], set()),
        (["budget", "--help"], set()),
        (["check", "--help"], set()),
        (["cut", "--help"], set()),
        (["open", "--help"], set()),
        (["sweep", "brake.toml", "--json"], {"numpy"}),
        (["sweep", "brake.toml", "-o", "out.csv"], {"numpy"}),
        (["effort", "brake.toml", "--json"], {"numpy"}),
        (["check", "brake.toml"], {"numpy", "ezdxf"}),
        (["show", "brake.toml"], {"numpy"}),
        (["new", "hanging-brake", "-o", "new.toml"], {"numpy"}),
    ],
    ids=lambda each: " ".join(sorted(each) if isinstance(each, set) else each),
)
def test_a_command_loads_what_it_needs(
    words: list[str], allowed: set[str], tmp_path: Path
) -> None:
    (tmp_path / "brake.toml").write_bytes((ROOT / BRAKE).read_bytes())
    code = f"sys.argv[1:] = {words!r}; from linkage.commands import main; main()"
    assert loaded(code, tmp_path) <= allowed


@pytest.mark.parametrize("name", ["budget", "failures", "ladder"])
def test_a_question_to_a_brake_loads_numpy_alone(name: str, tmp_path: Path) -> None:
    manual = ROOT / "examples" / "brake-manual.toml"
    (tmp_path / "brake.toml").write_bytes(manual.read_bytes())
    words = [name, "brake.toml"]
    code = f"sys.argv[1:] = {words!r}; from linkage.commands import main; main()"
    assert loaded(code, tmp_path) <= {"numpy"}


@pytest.mark.parametrize(
    ("out", "unused"),
    [
        (["--json"], {"linkage.arm", "linkage.sheets", "export.files"}),
        (["-o", "out.csv"], {"linkage.arm", "linkage.sheets.scene", "export.svg"}),
        (["-o", "out.svg"], {"export.table", "json"}),
    ],
    ids=["json", "csv", "svg"],
)
def test_a_sweep_leaves_the_rest_of_the_program_alone(
    out: list[str], unused: set[str], tmp_path: Path
) -> None:
    """What other commands and forms need, and what makes classes slowly."""
    (tmp_path / "brake.toml").write_bytes((ROOT / BRAKE).read_bytes())
    words = ["sweep", "brake.toml", *out]
    code = f"sys.argv[1:] = {words!r}; from linkage.commands import main; main()"
    held = modules_after(code, tmp_path)
    others = (
        *("cutting", "loads", "page", "placing", "pressing", "second_road"),
        "templates",
    )
    unused = unused | {f"linkage.{name}" for name in others} | {"dataclasses"}
    assert "linkage.sweeping" in held
    assert held & unused == set()
