"""Files appear whole or not at all: also when the writer is killed."""

import errno
import os
import pickle
import random
import signal
import stat
import subprocess
import sys
import time
from pathlib import Path

import pytest

from export.files import Output, OutputError, TakenError, put_all, put_bytes
from tests.cases_count import many

POSIX = pytest.mark.skipif(os.name != "posix", reason="signals and modes")


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_a_new_file(tmp_path: Path) -> None:
    put_bytes(tmp_path / "a.dxf", b"whole")
    assert (tmp_path / "a.dxf").read_bytes() == b"whole"
    assert names(tmp_path) == ["a.dxf"]


def test_a_file_that_exists_is_kept(tmp_path: Path) -> None:
    path = tmp_path / "a.dxf"
    path.write_bytes(b"old")
    with pytest.raises(TakenError, match=r"exists already.*--force"):
        put_bytes(path, b"new")
    assert path.read_bytes() == b"old"
    put_bytes(path, b"new", force=True)
    assert path.read_bytes() == b"new"
    assert names(tmp_path) == ["a.dxf"]


@pytest.mark.parametrize(
    ("mark", "replaced"), [(b"design 77", True), (b"design 78", False), (b"", False)]
)
def test_only_our_own_file_is_replaced(
    tmp_path: Path, mark: bytes, replaced: bool
) -> None:
    path = tmp_path / "a.svg"
    path.write_bytes(b"<!-- design 77 -->")
    if replaced:
        put_bytes(path, b"new", mark=mark)
    else:
        with pytest.raises(TakenError):
            put_bytes(path, b"new", mark=mark)
    assert (path.read_bytes() == b"new") is replaced


def test_every_fault_is_told_before_anything_is_written(tmp_path: Path) -> None:
    (tmp_path / "is.csv").write_bytes(b"old")
    (tmp_path / "folder").mkdir()
    paths = ["new.csv", "is.csv", "folder", "none/a.csv", "twice.csv", "twice.csv"]
    with pytest.raises(OutputError) as caught:
        put_all([Output(path=tmp_path / name, data=b"x") for name in paths])
    told = str(caught.value)
    for words in ("is a folder", "no folder", "exists already", "asked for twice"):
        assert told.count(words) == 1
    assert len(caught.value.faults) == 4
    assert names(tmp_path) == ["folder", "is.csv"]
    assert (tmp_path / "is.csv").read_bytes() == b"old"


def test_two_names_of_one_file_are_one(tmp_path: Path) -> None:
    (tmp_path / "link.csv").symlink_to(tmp_path / "a.csv")
    with pytest.raises(OutputError, match="asked for twice"):
        put_all([Output(path=tmp_path / n, data=b"") for n in ("a.csv", "link.csv")])


def test_a_link_keeps_pointing_at_the_new_file(tmp_path: Path) -> None:
    (tmp_path / "real.csv").write_bytes(b"old")
    (tmp_path / "link.csv").symlink_to(tmp_path / "real.csv")
    put_bytes(tmp_path / "link.csv", b"new", force=True)
    assert (tmp_path / "link.csv").is_symlink()
    assert (tmp_path / "real.csv").read_bytes() == b"new"


@pytest.mark.parametrize("linkless", [False, True])
def test_if_one_fails_all_are_as_before(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, linkless: bool
) -> None:
    (tmp_path / "a").write_bytes(b"old a")
    real = Path.replace

    def replace(self: Path, target: Path) -> Path:
        if target.name == "c" and self.name.endswith(".part"):
            raise OSError(errno.EIO, "Input/output error")
        return real(self, target)

    def no_links(self: Path, target: Path) -> None:
        raise OSError(errno.EPERM, "no links here", self, target)

    monkeypatch.setattr(Path, "replace", replace)
    if linkless:
        monkeypatch.setattr(Path, "hardlink_to", no_links)
    outputs = [Output(path=tmp_path / name, data=b"new") for name in "abc"]
    with pytest.raises(OutputError, match="input/output error; nothing was changed"):
        put_all(outputs, force=True)
    assert names(tmp_path) == ["a"]
    assert (tmp_path / "a").read_bytes() == b"old a"


def test_several_at_once(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"old")
    put_all([Output(path=tmp_path / n, data=n.encode()) for n in "abc"], force=True)
    assert names(tmp_path) == ["a", "b", "c"]
    assert [(tmp_path / n).read_bytes() for n in "abc"] == [b"a", b"b", b"c"]


def test_a_full_disk_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OutputError, match="no space left"):
        put_bytes(tmp_path / "a", b"x")
    assert names(tmp_path) == []


def test_a_folder_that_cannot_be_written_to(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Not by mode: whoever runs the tests may be allowed everything.
    monkeypatch.setattr(os, "access", lambda *_: False)
    with pytest.raises(OutputError, match="cannot be written to"):
        put_bytes(tmp_path / "a", b"x")


@POSIX
def test_modes(tmp_path: Path) -> None:
    old = os.umask(0o027)
    try:
        put_bytes(tmp_path / "new", b"x")
    finally:
        os.umask(old)
    assert stat.S_IMODE((tmp_path / "new").stat().st_mode) == 0o640
    (tmp_path / "new").chmod(0o604)
    put_bytes(tmp_path / "new", b"y", force=True)
    assert stat.S_IMODE((tmp_path / "new").stat().st_mode) == 0o604


def test_errors_travel() -> None:
    error = pickle.loads(pickle.dumps(TakenError(["a: exists", "b: exists"])))  # noqa: S301 - our own bytes
    assert str(error) == "a: exists\nb: exists"
    assert isinstance(error, OSError)


WRITER = """
import sys
from pathlib import Path
from export.files import put_bytes
path, size = Path(sys.argv[1]), 400_000
print("up", flush=True)
n = 1
while True:
    put_bytes(path, bytes([n % 250]) * size, force=True)
    n += 1
"""


@POSIX
def test_killed_at_any_moment(tmp_path: Path) -> None:
    """Whatever bytes carry the final name are one whole version of the file."""
    path = tmp_path / "arm.dxf"
    rng = random.Random(4)  # noqa: S311 - moments, not secrets
    seen = set()
    for _ in range(many(60)):
        with subprocess.Popen(
            [sys.executable, "-c", WRITER, str(path)], stdout=subprocess.PIPE
        ) as run:
            if run.stdout is not None:
                run.stdout.readline()
            time.sleep(rng.uniform(0.0, 0.05))
            run.send_signal(signal.SIGKILL)
        if path.exists():
            data = path.read_bytes()
            assert len(data) == 400_000
            assert len(set(data)) == 1
            seen.add(data[0])
    assert seen
    assert all(n == path.name or n.endswith(".part") for n in names(tmp_path))
