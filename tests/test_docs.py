"""README.md and DEVELOPERS.md: complete, true, and free of anybody's machine."""

import ast
import doctest
import re
import shlex
import shutil
import subprocess
import sys
from importlib import import_module
from pathlib import Path

import pytest

from linkage.commands import COMMANDS
from linkage.design.driver import PLATE_KEYS
from linkage.design.known import (
    ARM,
    BRAKE,
    CIRCUIT,
    DRIVER,
    FIXED,
    FOOTWELL,
    FRICTION,
    HOSE,
    LIMIT,
    PART,
    PEDAL,
    RULES,
    SHOE,
    SPRING,
    TARGET,
    TOP,
    VALVE,
    VEHICLE,
)
from linkage.design.quantity_names import NAMES
from linkage.parts import KINDS
from tests import documents
from tests.documents import ROOT, blocks, pictures, session

README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
#: Keys that a table of the README shows in its first column, as a heading.
HEADINGS = {"pedal", "point", "footwell", "driver", "train", "target", "arm"}
HEADINGS |= {"spring", "friction", "vehicle", "circuit", "brake", "hose", "rules"}
HEADINGS |= {"limit"}


@pytest.mark.parametrize("name", documents.NAMES)
def test_every_session_says_what_the_program_says(name: str, tmp_path: Path) -> None:
    """Differs? ``python tests/documents.py`` writes it anew; read the difference."""
    text = (ROOT / name).read_text(encoding="utf-8")
    assert session(text, tmp_path) == text
    for picture in pictures(text):
        shown, drawn = ROOT / picture, tmp_path / Path(picture).name
        assert shown.read_bytes() == drawn.read_bytes(), picture


def test_every_picture_is_shown() -> None:
    kept = {f"docs/{path.name}" for path in (ROOT / "docs").iterdir()}
    assert kept == set(pictures(README)) | set(pictures(DEVELOPERS))


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_is_in_the_readme(name: str) -> None:
    assert f"| `footwell {name} " in README
    assert any(
        f"$ footwell {name} " in block.body for block in blocks(README, "console")
    )


def test_every_key_is_in_the_readme() -> None:
    table = README.partition("| where | key | what |")[2].partition("\n\n")[0]
    keys = {*TOP, *PEDAL, *PART, *TARGET, *ARM, *FOOTWELL, *KINDS}
    keys |= {*SPRING, *FRICTION, *DRIVER, *FIXED, *SHOE}
    keys |= {key.name for key in PLATE_KEYS}
    keys |= {*VEHICLE, *CIRCUIT, *BRAKE, *HOSE, *VALVE, *RULES, *LIMIT}
    for kind in KINDS.values():
        for key in kind.KEYS:
            keys |= {key.name, *(inner.name for inner in key.table)}
    missing = [key for key in sorted(keys - HEADINGS) if f"`{key}`" not in table]
    assert missing == []
    assert [name for name in NAMES if f"`{name}`" not in table] == []


def test_every_option_in_the_readme_exists() -> None:
    """And every option of every command, but --help, is told of."""
    table = README.partition("| command | does |")[2].partition("## The design")[0]
    told = set(re.findall(r"--[a-z][a-z-]*", table)) - {"--help"}
    known: set[str] = set()
    for name in COMMANDS:
        command = getattr(import_module(f"linkage.commands.{name}"), name)
        known |= {word for each in command.params for word in each.opts}
    known = {word for word in known if word.startswith("--")}
    assert told <= known | {"--help"}
    assert known - told <= {"--output", "--seed"}


def test_every_example_is_in_the_readme() -> None:
    names = [path.name for path in (ROOT / "examples").glob("*.toml")]
    assert [name for name in names if f"| `{name}` |" not in README] == []


def test_python_in_the_readme_runs(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    shutil.copytree(ROOT / "examples", tmp_path / "examples")
    monkeypatch.chdir(tmp_path)
    code = "".join(block.body for block in blocks(README, "python"))
    run = doctest.DocTestRunner()
    run.run(doctest.DocTestParser().get_doctest(code, {}, "README.md", None, 0))
    assert run.tries > 3
    assert run.failures == 0


def modules_with_sessions() -> list[str]:
    files = [
        file
        for package in ("linkage", "solvers", "export")
        for file in sorted((ROOT / package).rglob("*.py"))
        if ">>> " in file.read_text(encoding="utf-8")
    ]
    names = [".".join(file.relative_to(ROOT).with_suffix("").parts) for file in files]
    return [name.removesuffix(".__init__") for name in names]


@pytest.mark.parametrize("name", modules_with_sessions())
def test_sessions_in_docstrings_run(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    failed, tried = doctest.testmod(import_module(name))
    assert tried > 0
    assert failed == 0


def marked_lines() -> list[str]:
    """Return the shell lines of DEVELOPERS.md that are marked to be run."""
    marked = [block for block in blocks(DEVELOPERS, "sh") if block.more == "run"]
    return [line for block in marked for line in block.body.splitlines()]


@pytest.mark.parametrize("line", marked_lines())
def test_marked_lines_run(line: str) -> None:
    program, *words = shlex.split(line)
    assert program == "python"
    done = subprocess.run([sys.executable, *words], cwd=ROOT, capture_output=True)
    assert done.returncode == 0, done.stdout + done.stderr


def test_the_gate_is_one_command_everywhere() -> None:
    for text in (README, DEVELOPERS, (ROOT / ".ci" / "run").read_text()):
        assert "tests/gate.py" in text


def test_every_dependency_has_its_reason() -> None:
    import tomllib

    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    asked = [
        *project["project"]["dependencies"],
        *project["build-system"]["requires"],
        *(each for each in project["dependency-groups"]["test"]),
        *(
            each
            for each in project["dependency-groups"]["dev"]
            if isinstance(each, str)
        ),
    ]
    names = [re.split(r"[<>=]", each)[0] for each in asked]
    rows = "".join(re.findall(r"^\| .* \|$", DEVELOPERS, re.MULTILINE))
    assert [name for name in names if not re.search(rf"\b{name}\b", rows)] == []


def test_links_lead_somewhere() -> None:
    for text in (README, DEVELOPERS):
        for link in re.findall(r"\]\(([^)#]+)\)", text):
            assert (ROOT / link).exists(), link


# ------------------------------------------------------------- nobody's machine

#: Home folders, work folders and drives that a checked-in text must not name.
PLACES = re.compile(
    r"(?<![\w.])/(?:home|Users|root|work|tmp|mnt|opt|srv)/[\w.-]+|\b[A-Z]:\\[\w.-]+"
    r"|file:" + "///"
)
TEXTS = {".py", ".toml", ".md", ".svg", ".yml", ".yaml", ".cfg", ""}


def checked_in() -> list[Path]:
    """Return the project's own texts."""
    tops = ("linkage", "solvers", "export", "tests", "examples", "docs", ".ci")
    files = [file for top in tops for file in sorted((ROOT / top).rglob("*"))]
    files += [file for file in ROOT.iterdir() if not file.name.startswith(".venv")]
    skipped = {"__pycache__", "node_modules"}
    return [
        file
        for file in files
        if file.is_file() and file.suffix in TEXTS and not skipped & set(file.parts)
    ]


def test_no_path_of_a_machine() -> None:
    found = [
        f"{file.relative_to(ROOT)}: {match[0]}"
        for file in checked_in()
        for match in PLACES.finditer(file.read_text(encoding="utf-8"))
    ]
    assert found == []


@pytest.mark.parametrize(
    "path", ["/" + "home/ann/x", "C" + ":\\Users", "/" + "tmp/out.dxf"]
)
def test_a_path_of_a_machine_is_seen(path: str) -> None:
    assert PLACES.search(f'open("{path}")')


def test_only_commands_and_the_gate_print() -> None:
    """Ruff says so too; this says which files are allowed to."""
    printing = {
        str(file.relative_to(ROOT).parent)
        for package in ("linkage", "solvers", "export")
        for file in (ROOT / package).rglob("*.py")
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call)
        and getattr(node.func, "attr", getattr(node.func, "id", ""))
        in ("print", "echo")
    }
    assert {Path(folder).as_posix() for folder in printing} == {"linkage/commands"}
