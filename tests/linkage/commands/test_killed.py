"""Writing commands killed at any moment: the old file or the new one, whole.

A warm server forks a process for each command, so that hundreds can be killed. First at
each call that opens, fills, names or drops a file, counted by the interpreter itself;
then at random times from outside.
"""

import contextlib
import json
import os
import random
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.cases_count import many
from tests.linkage.commands.test_sweep import BRAKE

ROOT = Path(__file__).parents[3]
pytestmark = pytest.mark.skipif(os.name != "posix", reason="kill and fork")

SERVER = """
import json, os, signal, sys
from linkage.commands import footwell

STEPS = {"open", "write", "flush", "fsync", "close", "unlink", "link", "chmod",
         "rename", "replace", "truncate", "remove", "hardlink_to"}
PLACES = ("export/files.py", "pathlib")

def call(words):
    null = os.open(os.devnull, os.O_WRONLY)
    os.dup2(null, 1)
    os.dup2(null, 2)
    try:
        footwell(words, prog_name="footwell")
    except SystemExit as end:
        os._exit(end.code or 0)

def doomed(step):
    left = [step]
    def watch(frame, event, function):
        if event != "c_call" or getattr(function, "__name__", "") not in STEPS:
            return
        if any(place in frame.f_code.co_filename for place in PLACES):
            left[0] -= 1
            if left[0] < 0:
                os.kill(os.getpid(), signal.SIGKILL)
    sys.setprofile(watch)

def fork(words, step):
    child = os.fork()
    if child == 0:
        if step is not None:
            doomed(step)
        call(words)
    return child

print("up", flush=True)
for line in sys.stdin:
    words, step = json.loads(line)
    child = fork(words, step)
    print(child, flush=True)
    print(os.waitpid(child, 0)[1], flush=True)
"""

FREE = BRAKE.replace("484.5]", '"475 to 490"]') + (
    '[[pedal.brake.target]]\nof = "stroke"\nat = "full"\nis = 24\nwithin = 0.5\n'
)
#: What is asked for, and what it writes.
COMMANDS: dict[str, tuple[list[str], list[str]]] = {
    "sweep": (["sweep", "brake.toml"], ["a.svg", "b.csv", "c.json"]),
    "place": (["place", "free.toml"], ["d.toml"]),
    "cut": (["cut", "brake.toml"], ["e.dxf"]),
    "pattern": (["pattern", "brake.toml"], ["f.pdf"]),
    "effort": (["effort", "brake.toml", "--foot", "300 N"], ["g.svg", "h.csv"]),
}
#: One of so many steps is taken in the gate, each of them in full.
STRIDE = 9 // many(9)
OLD = b"what stood here before\n" * 2000


class Server:
    """Runs commands in processes of their own."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.run = subprocess.Popen(
            [sys.executable, "-c", SERVER],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            cwd=folder,
            env=os.environ | {"PYTHONPATH": str(ROOT)},
            text=True,
        )
        assert self.line() == "up"

    def line(self) -> str:
        assert self.run.stdout is not None
        return self.run.stdout.readline().strip()

    def start(self, words: list[str], step: int | None = None) -> int:
        """Start a command; with ``step`` it dies before that touch of a file."""
        assert self.run.stdin is not None
        print(json.dumps([words, step]), file=self.run.stdin, flush=True)
        return int(self.line())

    def end(self) -> int:
        """Return its wait status."""
        return int(self.line())

    def close(self) -> None:
        self.run.communicate()


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    folder = tmp_path_factory.mktemp("killed")
    (folder / "brake.toml").write_text(BRAKE)
    (folder / "free.toml").write_text(FREE)
    one = Server(folder)
    yield one
    one.close()


def words_of(name: str, out: Path) -> list[str]:
    words, files = COMMANDS[name]
    named = [part for file in files for part in ("-o", str(out / file))]
    return [*words, *named, "--force"]


def fresh(out: Path, names: list[str], *, old: bool) -> None:
    shutil.rmtree(out, ignore_errors=True)
    out.mkdir()
    for name in names if old else []:
        (out / name).write_bytes(OLD)


def whole_run(server: Server, name: str) -> tuple[dict[str, bytes], float]:
    """What a command writes when nobody kills it, and how long that takes."""
    out = server.folder / "out"
    fresh(out, [], old=False)
    began = time.monotonic()
    server.start(words_of(name, out))
    assert server.end() == 0
    took = time.monotonic() - began
    return {file: (out / file).read_bytes() for file in COMMANDS[name][1]}, took


def check(out: Path, new: dict[str, bytes], *, old: bool) -> set[str]:
    """Every file whole, and nothing besides that could be taken for one."""
    seen = set()
    for file, data in new.items():
        path = out / file
        if path.exists():
            found = path.read_bytes()
            assert found == data or (old and found == OLD), file
            seen.add("new" if found == data else "old")
        else:
            assert not old, f"{file} is lost"
            seen.add("none")
    for stray in {path.name for path in out.iterdir()} - set(new):
        assert stray.startswith("."), stray
        assert stray.endswith((".part", ".old")), stray
    return seen


@pytest.mark.parametrize("old", [True, False], ids=["over", "new"])
@pytest.mark.parametrize("name", COMMANDS)
def test_killed_at_each_step(server: Server, name: str, *, old: bool) -> None:
    new, _ = whole_run(server, name)
    out, seen = server.folder / "out", set()
    for step in range(0, 400, STRIDE):
        fresh(out, list(new), old=old)
        server.start(words_of(name, out), step)
        status = server.end()
        seen |= check(out, new, old=old)
        if status == 0:
            break
        assert os.WTERMSIG(status) == signal.SIGKILL
    else:
        pytest.fail("never came to its end")
    assert step > 3 * len(new)  # so the commands do come by these calls
    assert seen == {"new", "old" if old else "none"}
    assert sorted(path.name for path in out.iterdir()) == sorted(new)


@pytest.mark.parametrize("name", COMMANDS)
def test_killed_at_random_times(server: Server, name: str) -> None:
    new, took = whole_run(server, name)
    out, killed = server.folder / "out", 0
    rng = random.Random(len(name))  # noqa: S311 - moments, not secrets
    for case in range(many(40)):
        fresh(out, list(new), old=case % 2 == 0)
        child = server.start(words_of(name, out))
        time.sleep(rng.uniform(0.0, 1.1 * took))
        with contextlib.suppress(ProcessLookupError):
            os.kill(child, signal.SIGKILL)
        killed += os.WIFSIGNALED(server.end())
        check(out, new, old=case % 2 == 0)
    assert killed
    assert whole_run(server, name)[0] == new  # what was left lying about does no harm
