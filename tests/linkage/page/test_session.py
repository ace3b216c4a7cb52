"""A session's history, file and revisions; nothing refused leaves a trace."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from linkage.faults import DesignError
from linkage.page.document import Refused, read
from linkage.page.edits import apply
from linkage.page.session import OnDisk, Session, Stale
from tests.cases_count import many
from tests.linkage.page.cases import FORMS

#: Short, so that thousands of readings take no time.
SMALL = """\
# kept
[pedal.brake]
pivot = [120, 545]   # bolt
pad = [35, 255]
travel = 120
"""
OTHER = SMALL.replace("brake", "clutch").replace("120", "130")
BROKEN = SMALL.replace("[35, 255]", "[35, 255")


class Notes:
    """A journal that remembers what it is told."""

    def __init__(self) -> None:
        self.kept: str | None = None

    def keep(self, text: str) -> None:
        self.kept = text

    def drop(self) -> None:
        self.kept = None


def to(name: str, x: float, z: float) -> list[dict[str, Any]]:
    return [{"point": name, "to": [x, z], "near": 0.0}]


def on_file(folder: Path, text: str = SMALL) -> tuple[Session, Path, Notes]:
    path, notes = folder / "pedal.toml", Notes()
    path.write_bytes(text.encode())
    return Session(text.removeprefix("\ufeff"), "pedal.toml", path, notes), path, notes


def stands(session: Session) -> tuple[Any, ...]:
    return (
        session.document.text,
        session.document.file,
        session.path,
        session.rev,
        session.undo_label,
        session.redo_label,
        session.saved,
    )


# ------------------------------------------------------------------------- history


def test_a_commit_is_one_step_back_and_forth() -> None:
    session = Session(SMALL, "x.toml")
    session.commit(0, to("brake.pad", 40.0, 250.0), "pad")
    session.commit(1, to("brake.pivot", 118.0, 540.0), "pivot")
    both = session.document.text
    assert "pad = [40, 250]" in both
    assert "pivot = [118, 540]   # bolt" in both
    assert (session.rev, session.undo_label, session.redo_label) == (2, "pivot", None)
    session.undo()
    session.undo()
    assert session.document.text == SMALL
    assert (session.rev, session.undo_label, session.redo_label) == (4, None, "pad")
    session.undo()
    assert session.rev == 4
    session.redo()
    session.redo()
    assert session.document.text == both
    session.redo()
    assert session.rev == 6


def test_what_changes_nothing_is_no_step() -> None:
    session = Session(SMALL, "x.toml")
    session.commit(0, to("brake.pad", 35.0, 255.0), "nothing")
    session.replace(0, SMALL, "nothing")
    assert (session.rev, session.undo_label) == (0, None)


def test_a_new_step_forgets_what_was_taken_back() -> None:
    session = Session(SMALL, "x.toml")
    session.commit(0, to("brake.pad", 40.0, 250.0), "pad")
    session.undo()
    session.commit(2, to("brake.pivot", 118.0, 540.0), "pivot")
    assert session.redo_label is None


def test_a_loaded_design_can_be_taken_back(tmp_path: Path) -> None:
    session, path, _ = on_file(tmp_path)
    session.load("other.toml", OTHER)
    assert (session.document.file, session.path) == ("other.toml", None)
    assert not session.saved
    assert session.disk() == "no file"
    session.undo()
    assert (session.document.text, session.path) == (SMALL, path)
    assert session.saved


def test_a_text_with_faults_stands_to_be_mended() -> None:
    session = Session(SMALL, "x.toml")
    session.replace(0, BROKEN, "text")
    assert session.document.design is None
    assert [fault.line for fault in session.document.faults][:1] == [4]
    with pytest.raises(Refused):
        session.commit(1, to("brake.pad", 40.0, 250.0), "pad")
    with pytest.raises(Refused):
        session.preview(1, to("brake.pad", 40.0, 250.0))
    session.replace(1, SMALL, "mended")
    assert session.document.design is not None


def test_the_history_is_bounded(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("linkage.page.session.MOST", 3 * len(SMALL))
    session = Session(SMALL, "x.toml")
    for step in range(6):
        session.commit(step, to("brake.pad", 40.0 + step, 250.0), str(step))
    for _ in range(6):
        session.undo()
    assert "pad = [42, 250]" in session.document.text


# ------------------------------------------------------------------------- two tabs


def test_old_commits_merge_where_they_touch_other_things() -> None:
    session = Session(FORMS, "x.toml")
    session.commit(0, [{"value": "clutch.pad.back", "number": 91.0}], "one tab")
    session.commit(0, [{"value": "brake.holes.side.along", "number": 71.0}], "another")
    session.commit(0, [{"title": "both"}], "a third")
    assert session.rev == 3
    for piece in ("back = 91", "along = 71", 'title = "both"'):
        assert piece in session.document.text


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ({"value": "clutch.pad.back", "number": 91.0}, {"value": "clutch.pad.back", "text": "92"}),
        ({"point": "brake.pivot", "to": [-119.0, 550.0]}, {"point": "point.shaft", "to": [-116.0, 549.0]}),
        ({"point": "clutch.pivot", "to": [3.0, 520.0]}, {"value": "clutch.pivot.back", "number": 4.0}),
        ({"target": ["brake", 1], "remove": True}, {"target": ["brake", 2], "set": {"least": "5"}}),
        ({"lock": "brake.holes.side", "on": True}, {"lock": "brake.pad", "on": True}),
    ],
)  # fmt: skip
def test_old_commits_that_collide_are_stale(
    first: dict[str, Any], second: dict[str, Any]
) -> None:
    session = Session(FORMS, "x.toml")
    session.commit(0, [first], "one tab")
    before = stands(session)
    with pytest.raises(Stale):
        session.commit(0, [second], "another")
    assert stands(session) == before


def test_after_another_text_every_old_commit_is_stale() -> None:
    session = Session(SMALL, "x.toml")
    session.replace(0, OTHER, "text")
    session.replace(1, SMALL, "text")
    with pytest.raises(Stale):
        session.commit(1, to("brake.pad", 40.0, 250.0), "pad")
    with pytest.raises(Stale):
        session.replace(0, OTHER, "text")
    for rev in (-1, 3):
        with pytest.raises(Stale):
            session.commit(rev, to("brake.pad", 40.0, 250.0), "pad")
        with pytest.raises(Stale):
            session.preview(rev, to("brake.pad", 40.0, 250.0))


def test_a_preview_touches_nothing() -> None:
    session = Session(SMALL, "x.toml")
    before = stands(session)
    moved = session.preview(0, to("brake.pad", 41.0, 250.5))
    assert moved.values == {"brake.pad.x": 41.0, "brake.pad.z": 250.5}
    assert stands(session) == before


# ------------------------------------------------------------------------- the file


def test_saving_writes_the_text_and_nothing_else(tmp_path: Path) -> None:
    session, path, notes = on_file(tmp_path, SMALL.replace("\n", "\r\n"))
    session.commit(0, to("brake.pad", 40.0, 250.0), "pad")
    assert not session.saved
    assert notes.kept == session.document.text
    session.save()
    wanted = SMALL.replace("[35, 255]", "[40, 250]").replace("\n", "\r\n")
    assert path.read_bytes() == wanted.encode()
    assert session.saved
    assert notes.kept is None
    assert list(tmp_path.iterdir()) == [path]
    session.undo()
    assert not session.saved
    assert notes.kept is not None
    session.redo()
    assert session.saved
    assert notes.kept is None


def test_a_mark_in_front_stays(tmp_path: Path) -> None:
    session, path, _ = on_file(tmp_path, "\ufeff" + SMALL)
    assert session.saved
    assert session.disk() == "same"
    session.commit(0, to("brake.pad", 40.0, 250.0), "pad")
    session.save()
    assert path.read_bytes() == b"\xef\xbb\xbf" + session.document.text.encode()


def test_a_file_that_changed_is_never_written_over(tmp_path: Path) -> None:
    session, path, _ = on_file(tmp_path)
    session.commit(0, to("brake.pad", 40.0, 250.0), "pad")
    path.write_text(OTHER)
    before = stands(session)
    assert session.disk() == "changed"
    with pytest.raises(OnDisk) as refused:
        session.save()
    assert refused.value.disk == "changed"
    assert path.read_text() == OTHER
    assert stands(session) == before
    session.save(force=True)
    assert path.read_text() == session.document.text
    assert session.disk() == "same"


def test_a_file_that_is_gone_is_not_made_again_unasked(tmp_path: Path) -> None:
    session, path, _ = on_file(tmp_path)
    path.unlink()
    assert session.disk() == "gone"
    with pytest.raises(OnDisk, match="no longer"):
        session.save()
    with pytest.raises(DesignError, match="no such file"):
        session.reload()
    session.save(force=True)
    assert path.read_text() == SMALL


def test_reloading_is_a_step(tmp_path: Path) -> None:
    session, path, notes = on_file(tmp_path)
    session.commit(0, to("brake.pad", 40.0, 250.0), "pad")
    mine = session.document.text
    path.write_text(BROKEN)
    session.reload()
    assert session.document.text == BROKEN
    assert session.document.design is None
    assert session.saved
    assert notes.kept is None
    session.undo()
    assert session.document.text == mine
    assert not session.saved
    assert session.disk() == "same"


def test_what_is_no_text_is_not_reloaded(tmp_path: Path) -> None:
    session, path, _ = on_file(tmp_path)
    before = stands(session)
    for raw in (b"\xff\xfe", b"#" * 1_000_001):
        path.write_bytes(raw)
        with pytest.raises(DesignError):
            session.reload()
        assert stands(session) == before
        assert session.disk() == "changed"


def test_without_a_file_nothing_is_saved() -> None:
    session = Session(SMALL, "x.toml")
    assert not session.saved
    for act in (session.save, session.reload):
        with pytest.raises(OnDisk, match="no file yet"):
            act()


def test_what_is_refused_leaves_no_trace(tmp_path: Path) -> None:
    session, _, notes = on_file(tmp_path)
    session.commit(0, to("brake.pad", 40.0, 250.0), "pad")
    before, kept = stands(session), notes.kept
    changes = [{"title": "seen"}, {"value": "brake.travel", "text": "far"}]
    with pytest.raises(Refused):
        session.commit(1, changes, "bad")
    with pytest.raises(Refused):
        session.load("huge.toml", "#" * 1_000_001)
    with pytest.raises(Refused):
        session.replace(1, "#" * 1_000_001, "huge")
    assert stands(session) == before
    assert notes.kept == kept


def test_a_loaded_text_with_faults_is_put_up_and_taken_back(tmp_path: Path) -> None:
    session, path, notes = on_file(tmp_path)
    session.load("bad.toml", BROKEN)
    assert (session.document.text, session.document.design) == (BROKEN, None)
    assert session.document.faults
    assert (session.path, notes.kept) == (None, BROKEN)
    session.undo()
    assert (session.document.text, session.path) == (SMALL, path)
    assert session.document.design is not None


# ------------------------------------------------------------------- against a replay


class Replay:
    """The same, plainly: a list of texts, a place in it, the file, what was read."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.texts: list[tuple[str, Path | None]] = [(SMALL, path)]
        self.place = 0
        self.known = SMALL

    @property
    def now(self) -> tuple[str, Path | None]:
        return self.texts[self.place]

    def go(self, text: str, path: Path | None) -> None:
        self.texts[self.place + 1 :] = [(text, path)]
        self.place += 1

    def step(self, text: str) -> None:
        if text != self.now[0]:
            self.go(text, self.now[1])


def random_change(pedal: str, rng: np.random.Generator) -> dict[str, Any]:
    number = int(rng.integers(80, 140))
    changes: list[dict[str, Any]] = [
        *to(f"{pedal}.pad", *np.round(rng.uniform(20, 60, 2), 1).tolist()),
        {"value": f"{pedal}.travel", "number": float(number)},
        {"value": f"{pedal}.travel", "text": f"{number} +- 0.5"},
        {"title": f"number {number}"},
        {"lock": f"{pedal}.travel" if number % 2 else f"{pedal}.pad", "on": True},
        {"lock": f"{pedal}.pad", "on": False},
        {"target": [pedal, None], "add": {"of": "distance", "least": str(number)}},
        {"target": [pedal, 1], "remove": True},
    ]
    return changes[rng.integers(len(changes))]


def edit(session: Session, replay: Replay, rng: np.random.Generator) -> None:
    """A change that is made when the same text, read afresh, takes it."""
    change = random_change(str(rng.choice(["brake", "clutch"])), rng)
    try:
        wanted = apply(read(session.document.text, "apart"), [change]).text
    except Refused:
        with pytest.raises(Refused):
            session.commit(session.rev, [change], "edit")
    else:
        session.commit(session.rev, [change], "edit")
        replay.step(wanted)


def retype(session: Session, replay: Replay, rng: np.random.Generator) -> None:
    text = [SMALL, OTHER, BROKEN][rng.integers(3)]
    session.replace(session.rev, text, "text")
    replay.step(text)


def load(session: Session, replay: Replay, rng: np.random.Generator) -> None:
    text = [SMALL, OTHER, BROKEN][rng.integers(3)]
    session.load("loaded.toml", text)
    replay.go(text, None)


def undo(session: Session, replay: Replay, _: np.random.Generator) -> None:
    session.undo()
    replay.place = max(0, replay.place - 1)


def redo(session: Session, replay: Replay, _: np.random.Generator) -> None:
    session.redo()
    replay.place = min(len(replay.texts) - 1, replay.place + 1)


def save(session: Session, replay: Replay, rng: np.random.Generator) -> None:
    text, path = replay.now
    force = bool(rng.integers(2))
    if path is None or (replay.path.read_text() != replay.known and not force):
        with pytest.raises(OnDisk):
            session.save(force=force)
    else:
        session.save(force=force)
        assert path.read_text() == text
        replay.known = text


def reload(session: Session, replay: Replay, _: np.random.Generator) -> None:
    if replay.now[1] is None:
        with pytest.raises(OnDisk):
            session.reload()
    else:
        session.reload()
        replay.known = replay.path.read_text()
        replay.step(replay.known)


def editor(_: Session, replay: Replay, rng: np.random.Generator) -> None:
    """Somebody else writes the file."""
    replay.path.write_text(f"{SMALL}# {rng.integers(5)}\n")


Act = Callable[[Session, Replay, np.random.Generator], None]
ACTS: list[Act] = [*[edit] * 9, *[undo] * 6, *[redo] * 4, *[save] * 2]
ACTS += [retype, load, reload, editor]


def test_a_plain_replay_ends_in_the_same_state(tmp_path: Path) -> None:
    session, path, notes = on_file(tmp_path)
    replay, rng = Replay(path), np.random.default_rng(20260504)
    for _ in range(many(10_000)):
        act, rev = ACTS[rng.integers(len(ACTS))], session.rev
        before = replay.now, replay.place
        act(session, replay, rng)
        text, stood = replay.now
        assert (session.document.text, session.path) == (text, stood), act
        assert session.saved == (stood is not None and text == replay.known), act
        assert (notes.kept is None) == session.saved, act
        assert notes.kept in (None, text), act
        assert (session.undo_label is None) == (replay.place == 0), act
        last = replay.place == len(replay.texts) - 1
        assert (session.redo_label is None) == last, act
        assert (session.rev == rev) == ((replay.now, replay.place) == before), act
