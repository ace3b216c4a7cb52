"""The gate: everything that must hold before a change is good, one line a step.

    python tests/gate.py            format, lint, types, imports, tests, benches, install
    python tests/gate.py --quick    without the benches and the installation
    python tests/gate.py --full     with every random case, not a tenth of them

Needs the dependency group "dev". Ends with 0 where every step passed, else with 1; a
step that fails shows what it said.
"""

import argparse
import json
import os
import shutil
import subprocess
import sys
import sysconfig
import tempfile
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
#: What the distribution holds, besides its own dist-info and its script.
PACKAGES = {"linkage", "solvers", "export"}
#: Prints the first folder of everything that is installed.
NAMES = (
    "from importlib.metadata import files;"
    "print(*{file.parts[0] for file in files('footwell')})"
)
#: On all cores; a module that drives the browser keeps to one of them.
WORKERS = ("-n", "auto", "--dist", "loadgroup")
#: Looks whether the page and its scripts came along.
SHOWN = "from linkage.page.server import page, statics; page(''); statics()['app.js']"
Step = Callable[[], None]


class Failed(Exception):  # noqa: N818 - it says what happened
    """A step that does not hold, with what it said."""


def run(
    *words: str | Path, at: Path = ROOT, also: Mapping[str, str] | None = None
) -> str:
    """Run a program to its end and return what it said; raise where it fails."""
    done = subprocess.run(
        [str(word) for word in words],
        cwd=at,
        env=os.environ | dict(also or {}),
        capture_output=True,
        text=True,
        encoding="utf-8",
        errors="replace",
        check=False,
    )
    if done.returncode:
        raise Failed(f"{done.stdout}{done.stderr}".strip())
    return done.stdout


def tool(name: str, folder: str = sysconfig.get_path("scripts")) -> str:
    """Return the path of a program of an environment."""
    found = shutil.which(name, path=folder)
    if found is None:
        raise Failed(f'{name} is not installed: pip install --group "dev"')
    return found


def with_tool(name: str, *words: str) -> Step:
    """Run a program of this environment over the whole project."""

    def step() -> None:
        run(tool(name), *words)

    return step


def tests(*words: str, full: bool) -> Step:
    """Run the tests; ``full`` takes every random case."""
    cases = {"FOOTWELL_FULL": "1"} if full else {}

    def step() -> None:
        run(sys.executable, "-m", "pytest", "-q", *words, also=cases)

    return step


def installation() -> None:
    """Type the README's first line in a fresh copy; use what it installs elsewhere."""
    with tempfile.TemporaryDirectory() as folder:
        copy, away = Path(folder) / "copy", Path(folder) / "away"
        away.mkdir()
        shutil.copytree(ROOT, copy, ignore=shutil.ignore_patterns(".*", "__pycache__"))
        shell = ("cmd", "/c") if os.name == "nt" else ("sh", "-c")
        # The Python of the gate, under the name that the README calls.
        path = os.pathsep.join([str(Path(sys.executable).parent), os.environ["PATH"]])
        run(*shell, first_line(), at=copy, also={"PATH": path})
        if not (copy / "examples" / "brake-hanging-sweep.svg").is_file():
            raise Failed("the first line of the README drew no picture")
        scripts = copy / ".venv" / ("Scripts" if os.name == "nt" else "bin")
        _check_names(run(tool("python", str(scripts)), "-c", NAMES, at=away).split())
        run(tool("python", str(scripts)), "-c", SHOWN, at=away)
        _use(tool("footwell", str(scripts)), away)


def first_line() -> str:
    """Return what the README has people type first, in this system's shell."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    language = "bat" if os.name == "nt" else "sh"
    return text.partition(f"```{language}\n")[2].partition("\n")[0]


def _check_names(tops: Sequence[str]) -> None:
    """Refuse an installation that holds tests or examples, or lacks a package."""
    found = {top for top in tops if not top.endswith(".dist-info")}
    if found - {"..", "bin", "Scripts"} != PACKAGES:
        raise Failed(f"the distribution holds {sorted(tops)}")


def _use(footwell: str, away: Path) -> None:
    """Try the installed command on one example, where no source is."""
    shutil.copy(ROOT / "examples" / "brake-hanging.toml", away)
    if "sweep" not in run(footwell, "--help", at=away):
        raise Failed("--help names no command sweep")
    run(footwell, "--version", at=away)
    swept = json.loads(run(footwell, "sweep", "brake-hanging.toml", "--json", at=away))
    if swept["columns"]["travel"]["values"][-1] != 150.0:
        raise Failed("the swept brake does not end at 150 of travel")
    run(footwell, "cut", "brake-hanging.toml", "-o", "arm.dxf", at=away)
    if not (away / "arm.dxf").read_text(encoding="ascii").rstrip().endswith("EOF"):
        raise Failed("the cut file has no end")


def steps(*, quick: bool, full: bool) -> dict[str, Step]:
    """Return the steps by name, in order, the cheap ones first."""
    gate = {
        "format": with_tool("ruff", "format", "--check", "."),
        "lint": with_tool("ruff", "check", "."),
        "types": with_tool("mypy"),
        "imports": with_tool("lint-imports"),
        "declared": with_tool("deptry", "."),
        "tests": tests(*WORKERS, "-m", "not bench", full=full),
    }
    if not quick:
        gate |= {"benches": tests("-m", "bench", full=full), "install": installation}
    return gate


def main(words: Sequence[str]) -> int:
    """Run the gate; return its exit code."""
    parser = argparse.ArgumentParser(description="Everything that must hold.")
    parser.add_argument(
        "--quick", action="store_true", help="no benches, no installation"
    )
    parser.add_argument("--full", action="store_true", help="every random case")
    asked = parser.parse_args(words)
    began, failed = time.monotonic(), []
    for name, step in steps(quick=asked.quick, full=asked.full).items():
        start = time.monotonic()
        try:
            step()
            said, verdict = "", "ok"
        except Failed as fault:
            said, verdict = f"{fault}\n", "FAILED"
            failed.append(name)
        print(f"{name:9} {verdict:7} {time.monotonic() - start:6.1f} s", flush=True)
        print(end=said, flush=True)
    took = f"in {time.monotonic() - began:.0f} s"
    print(f"Failed: {', '.join(failed)}, {took}." if failed else f"All good, {took}.")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
