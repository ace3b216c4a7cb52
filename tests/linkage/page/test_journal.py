"""What a crash leaves, and to whom it is offered."""

import multiprocessing
import os
import re
import signal
from pathlib import Path

import pytest

from linkage.page.journal import Journal, state_folder


def journal(folder: Path, path: Path | None = None) -> Journal:
    return Journal(path, folder=folder)


def test_what_a_killed_server_left_is_offered_until_it_is_answered(
    tmp_path: Path,
) -> None:
    first = journal(tmp_path)
    assert first.found is None
    first.keep("one\r\n")
    first.keep("twö\r\n")
    assert first.holds
    first.close()
    for _ in range(2):
        second = journal(tmp_path)
        assert second.found is not None
        assert second.found.text == "twö\r\n"
        assert re.fullmatch(r"\d{4}-\d\d-\d\d \d\d:\d\d", second.found.when)
        second.close()
    third = journal(tmp_path)
    third.answer()
    assert third.found is None
    third.close()
    assert journal(tmp_path).found is None


def test_steps_before_the_answer_take_nothing_from_it(tmp_path: Path) -> None:
    first = journal(tmp_path)
    first.keep("left")
    first.close()
    second = journal(tmp_path)
    second.keep("new")
    second.close()
    third = journal(tmp_path)
    found = set()
    while third.found is not None:
        found.add(third.found.text)
        third.answer()
    assert found == {"left", "new"}


def test_what_is_saved_is_dropped(tmp_path: Path) -> None:
    first = journal(tmp_path)
    first.drop()
    first.keep("one")
    first.drop()
    assert not first.holds
    first.close()
    assert journal(tmp_path).found is None


def test_a_running_server_keeps_its_own(tmp_path: Path) -> None:
    first, second = journal(tmp_path), journal(tmp_path)
    first.keep("first")
    second.keep("second")
    third = journal(tmp_path)
    assert third.found is None
    second.close()
    fourth = journal(tmp_path)
    assert fourth.found is not None
    assert fourth.found.text == "second"


def test_each_design_has_its_own(tmp_path: Path) -> None:
    design = tmp_path / "brake.toml"
    first = journal(tmp_path, design)
    first.keep("brake")
    first.close()
    assert journal(tmp_path, tmp_path / "clutch.toml").found is None
    assert journal(tmp_path).found is None
    same = journal(tmp_path, tmp_path / "x" / ".." / "brake.toml")
    assert same.found is not None


def test_a_folder_that_cannot_be_written_stops_nobody(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    bad = journal(tmp_path / "file" / "inside")
    bad.keep("text")
    bad.drop()
    bad.answer()
    assert bad.found is None
    assert bad.unguarded is not None
    assert bad.unguarded.startswith("A crash would take what is not saved: ")


def test_a_disk_that_fills_up_is_told_and_the_last_text_stays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = journal(tmp_path)
    first.keep("one")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", full)
        first.keep("two")
        assert first.unguarded is not None
        assert "space" in first.unguarded
    first.close()
    second = journal(tmp_path)
    assert second.found is not None
    assert second.found.text == "one"


def test_what_is_no_text_is_not_offered(tmp_path: Path) -> None:
    first = journal(tmp_path)
    first.keep("one")
    first.close()
    (file,) = tmp_path.glob("*.toml")
    file.write_bytes(b"\xff\xfe\x00")
    assert journal(tmp_path).found is None


def test_the_folder_is_the_users(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", "somewhere")
    assert state_folder() == Path("somewhere") / "footwell"
    monkeypatch.delenv("XDG_STATE_HOME")
    monkeypatch.delenv("LOCALAPPDATA", raising=False)
    assert state_folder().parts[-3:] == (".local", "state", "footwell")


LINE = "a line that is long enough to be torn = 1\n"


def _write_for_ever(folder: Path, ready: "multiprocessing.synchronize.Event") -> None:
    own = journal(folder)
    for count in range(10**9):
        own.keep(f"count = {count}\n" + LINE * 2000)
        ready.set()


@pytest.mark.skipif(os.name != "posix", reason="kills as POSIX systems do")
def test_a_kill_at_any_moment_leaves_a_whole_text(tmp_path: Path) -> None:
    """Killed in the midst of writing, many times: never a part, never a scrap."""
    context = multiprocessing.get_context("spawn")
    for wait in (0.0, 0.003, 0.007, 0.013):
        ready = context.Event()
        writer = context.Process(target=_write_for_ever, args=(tmp_path, ready))
        writer.start()
        assert ready.wait(30)
        writer.join(wait)
        assert writer.pid is not None
        os.kill(writer.pid, signal.SIGKILL)
        writer.join()
        after = journal(tmp_path)
        assert after.found is not None
        head, _, rest = after.found.text.partition("\n")
        assert re.fullmatch(r"count = \d+", head)
        assert rest == LINE * 2000
        assert list(tmp_path.glob(".*")) == []
        after.answer()
        after.close()
