"""The page's server as a browser meets it: a real socket, real messages."""

import json
import os
import re
import signal
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from websockets.exceptions import ConnectionClosed, InvalidStatus
from websockets.sync.client import connect

from linkage.findings.check import check
from linkage.loading import load_text
from linkage.page.downloads import KINDS
from linkage.page.server import BLOCK
from linkage.placing import place as searching
from linkage.rehearsing.rehearse import rehearse
from linkage.templates import TEMPLATES
from linkage.words.check import check_text
from linkage.words.failures import failures_text
from linkage.writing import write
from tests.linkage.page.running import JSON, Running, Talk, opened, running

EXAMPLES = Path(__file__).parents[3] / "examples"
BRAKE = (EXAMPLES / "brake-hanging.toml").read_text(encoding="utf-8")
OPEN = (EXAMPLES / "brake-to-place.toml").read_text(encoding="utf-8")
PIVOT: dict[str, Any] = {"point": "brake.pivot", "to": [-120.0, 548.0], "near": 0.0}


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A design file of one's own."""
    path = tmp_path / "brake.toml"
    path.write_text(BRAKE, encoding="utf-8", newline="")
    return path


@pytest.fixture
def server(file: Path, tmp_path: Path) -> Iterator[Running]:
    with running(BRAKE, str(file), file, tmp_path / "journal") as found:
        yield found


@pytest.fixture
def tab(server: Running) -> Iterator[Talk]:
    with server.tab() as found:
        yield found


def text_of(state: dict[str, Any]) -> str:
    return str(state["text"])


# ----------------------------------------------------------------- who gets in


def test_strangers_are_refused(server: Running) -> None:
    assert server.call("GET", "/").status == 403
    assert server.call("GET", "/static/app.js").status == 403
    assert (
        server.call("GET", "/", cookie=server.cookie, host="evil.example").status == 403
    )
    head = {"cookie": server.cookie, **JSON}
    body = {"name": "a.toml", "text": BRAKE}
    assert server.call("POST", "/load", body, **head).status == 403
    evil = {"origin": "http://evil.example"}
    assert server.call("POST", "/load", body, **head, **evil).status == 403
    own = {"origin": server.own, "cookie": server.cookie}
    plain = server.call("POST", "/load", body, **own, content_type="text/plain")
    assert plain.status == 415


@pytest.mark.parametrize(
    ("origin", "with_cookie"),
    [("http://evil.example", True), (None, True), ("own", False)],
)
def test_a_strange_socket_is_refused(
    server: Running, origin: str | None, with_cookie: bool
) -> None:
    head = {"cookie": server.cookie} if with_cookie else {}
    given: Any = server.own if origin == "own" else origin
    address = server.own.replace("http", "ws") + "/live"
    with (
        pytest.raises(InvalidStatus) as caught,
        connect(address, origin=given, additional_headers=head),
    ):
        pass
    assert caught.value.response.status_code == 403


def test_what_is_not_there(server: Running) -> None:
    for path in ("/x", "/static/x.js", "/static/..%2fserver.py", "/file/x.toml"):
        assert server.get(path).status == 404
    assert server.get("/favicon.ico").status == 204


# -------------------------------------------------------------------- the page


def test_the_page_holds_the_first_state(server: Running, tab: Talk) -> None:
    said = server.get("/")
    assert said.head["content-type"] == "text/html; charset=utf-8"
    assert "default-src 'none'" in said.head["content-security-policy"]
    text = said.body.decode()
    block = text.partition(BLOCK)[2].partition("</script>")[0]
    found = json.loads(block)
    assert found["kind"] == "state"
    assert found["state"] == tab.state


def test_nothing_of_the_page_comes_from_elsewhere(server: Running) -> None:
    names = set(re.findall(r'(?:src|href)="([^"]+)"', server.get("/").body.decode()))
    assert names
    for name in names:
        if name.startswith(("#", "/file/")) or name == "data:,":
            continue
        assert name.startswith("/static/")
        assert server.get(name).status == 200


def test_the_state(file: Path, tab: Talk) -> None:
    state = tab.state
    assert text_of(state) == BRAKE
    assert state["faults"] == []
    assert state["file"]["path"] == str(file)
    assert state["file"]["saved"]
    assert state["file"]["disk"] == "same"
    assert state["file"]["recovery"] is None
    assert state["units"] == state["file_units"] == "mm"
    assert state["result"]["pedals"][0]["name"] == "brake"


# ---------------------------------------------------------------------- steps


def test_a_step_reaches_both_tabs_each_in_its_units(server: Running) -> None:
    with server.tab() as one, server.tab() as two:
        assert two.ask("show", units="in", door="left")["kind"] == "state"
        assert (two.state["units"], two.state["door"]) == ("in", "left")
        before = one.state["result"]["pedals"]
        answer = one.commit(PIVOT)
        assert answer["kind"] == "state"
        assert one.state["result"]["pedals"] != before
        seen = two.hear("state")
        assert seen["seq"] is None
        assert seen["rev"] == answer["rev"]
        assert text_of(two.state) == text_of(one.state) != BRAKE
        assert (one.state["units"], two.state["units"]) == ("mm", "in")
        assert one.state["undo"] == two.state["undo"] == "a step"
        two.ask("undo")
        one.hear("state")
        assert text_of(one.state) == text_of(two.state) == BRAKE
        assert one.state["result"]["pedals"] == before


def test_a_preview_touches_nothing(server: Running) -> None:
    with server.tab() as one, server.tab() as two:
        answer = one.ask("preview", base_rev=one.state["rev"], changes=[PIVOT])
        assert answer["kind"] == "preview"
        assert answer["result"]["pedals"][0]["name"] == "brake"
        assert answer["rev"] == one.state["rev"]
        told = one.hear()
        assert (told["kind"], told["seq"]) == ("told", answer["seq"])
        assert told["result"]["pedals"][0]["table"]["rows"]
        assert told["result"]["panels"]
        two.ask("show", units=None, door="right")
        assert text_of(two.state) == BRAKE
        assert two.state["undo"] is None


def test_a_lean_preview_is_followed_by_nothing(server: Running) -> None:
    with server.tab() as tab:
        asked = {"base_rev": tab.state["rev"], "changes": [PIVOT], "whole": False}
        assert tab.ask("preview", **asked)["kind"] == "preview"
        tab.say("undo")
        assert tab.hear()["kind"] == "state"


def test_a_step_on_an_old_revision_is_merged_or_refused(server: Running) -> None:
    with server.tab() as one, server.tab() as two:
        base = one.state["rev"]
        one.commit(PIVOT, rev=base)
        two.hear("state")
        apart = two.commit({"value": "brake.travel", "number": 150.0}, rev=base)
        assert apart["kind"] == "state"
        now = text_of(two.state)
        same = two.commit(PIVOT | {"to": [-100.0, 500.0]}, rev=base)
        assert (same["kind"], same["why"]) == ("refused", "stale")
        assert text_of(same["state"]) == now


REFUSED: list[Any] = [
    "",
    "no json",
    b"\x00\x01",
    "[" * 50_000,
    {"kind": "undo"},
    {"schema": 1, "kind": "nonsense", "seq": 1},
    {
        "schema": 1,
        "kind": "commit",
        "seq": 1,
        "base_rev": 0,
        "changes": [],
        "label": "",
    },
    {
        "schema": 1,
        "kind": "commit",
        "seq": 1,
        "base_rev": 0,
        "label": "",
        "changes": [{"point": "nobody.pivot", "to": [0, 0], "near": 0}],
    },
    {
        "schema": 1,
        "kind": "commit",
        "seq": 1,
        "base_rev": 0,
        "label": "",
        "changes": [{"value": "brake.travel", "text": "forty winks"}],
    },
    {
        "schema": 1,
        "kind": "commit",
        "seq": 1,
        "base_rev": 0,
        "label": "",
        "changes": [PIVOT, {"value": "brake.nothing", "number": 4}],
    },
    {"schema": 1, "kind": "commit", "seq": 1, "base_rev": 0, "label": "x" * 70_000},
    {"schema": 1, "kind": "take", "seq": 1, "base_rev": 0, "answer": 1},
    {
        "schema": 1,
        "kind": "place",
        "seq": 1,
        "base_rev": 0,
        "pedal": "x",
        "mark": None,
        "seed": 0,
    },
]


@pytest.mark.parametrize("said", REFUSED, ids=lambda said: str(said)[:40])
def test_what_is_refused_changes_nothing(tab: Talk, said: Any) -> None:
    rev = tab.state["rev"]
    if isinstance(said, dict) and "base_rev" in said:
        said = said | {"base_rev": rev}
    tab.line.send(said if isinstance(said, str | bytes) else json.dumps(said))
    found = tab.hear("refused")
    assert found["faults"][0]["wrong"]
    tab.ask("show", units=None, door="right")
    assert tab.state["rev"] == rev
    assert text_of(tab.state) == BRAKE


def flood(tab: Talk) -> None:
    """Say more than any message holds, and wait for an answer."""
    tab.line.send("x" * 3_000_000)
    tab.line.recv(10)


def test_a_message_without_end_ends_the_socket(server: Running) -> None:
    with server.tab() as one, pytest.raises(ConnectionClosed):
        flood(one)
    with server.tab() as two:
        assert text_of(two.state) == BRAKE


def test_a_text_with_faults_is_kept_and_can_be_mended(tab: Talk) -> None:
    bad = BRAKE.replace("[pedal.brake]", "[pedal.brake]\nmisplaced = 3")
    answer = tab.ask("text", base_rev=tab.state["rev"], text=bad, label="text")
    assert answer["kind"] == "state"
    assert text_of(tab.state) == bad
    assert tab.state["result"] is None
    assert tab.state["faults"][0]["line"] == bad.splitlines().index("misplaced = 3") + 1
    tab.ask("undo")
    assert tab.state["faults"] == []


# ---------------------------------------------------------------------- files


def test_saving_writes_the_text(file: Path, tab: Talk) -> None:
    tab.commit(PIVOT)
    assert not tab.state["file"]["saved"]
    assert tab.ask("save", force=False)["kind"] == "saved"
    assert file.read_text(encoding="utf-8") == text_of(tab.state)
    assert tab.state["file"]["saved"]


def test_what_an_editor_wrote_is_told_and_never_overwritten(
    file: Path, tab: Talk
) -> None:
    other = BRAKE + "# by an editor\n"
    tab.commit(PIVOT)
    file.write_text(other, encoding="utf-8", newline="")
    assert tab.hear("disk")["disk"] == "changed"
    answer = tab.ask("save", force=False)
    assert (answer["kind"], answer["why"]) == ("refused", "disk")
    assert file.read_text(encoding="utf-8") == other
    tab.ask("reload")
    assert text_of(tab.state) == other
    assert tab.hear("disk")["disk"] == "same"
    file.unlink()
    assert tab.hear("disk")["disk"] == "gone"


def test_a_design_without_a_file_has_no_news_of_one(tmp_path: Path) -> None:
    with running(BRAKE, "x.toml", None, tmp_path) as server, server.tab() as tab:
        assert tab.state["file"]["disk"] == "no file"
        with pytest.raises(TimeoutError):
            tab.line.recv(1.5)
        answer = tab.ask("save", force=False)
        assert (answer["kind"], answer["why"]) == ("refused", "disk")


def test_loading_puts_another_design_in_its_place(server: Running, tab: Talk) -> None:
    answer = server.load({"name": "clutch.toml", "text": OPEN})
    assert answer.status == 200
    assert tab.hear("state")["rev"] == answer.json["rev"]
    assert text_of(tab.state) == OPEN
    assert tab.state["file"]["name"] == "clutch.toml"
    assert server.load({"example": "throttle"}).status == 200
    tab.hear("state")
    assert text_of(tab.state) == TEMPLATES["throttle"].text


@pytest.mark.parametrize(
    "body",
    [
        *({}, [], {"name": "a"}, {"example": "nothing"}, {"name": "a\n", "text": ""}),
        {"name": "a.toml", "text": "x" * 1_000_001},
    ],
    ids=lambda body: str(body)[:30],
)
def test_what_cannot_be_loaded(server: Running, tab: Talk, body: Any) -> None:
    answer = server.load(body)
    assert answer.status == 422
    assert answer.json["faults"][0]["wrong"]
    tab.ask("show", units=None, door="right")
    assert text_of(tab.state) == BRAKE


@pytest.mark.parametrize("kind", KINDS)
def test_downloads_are_what_the_command_line_writes(
    server: Running, tab: Talk, kind: str, tmp_path: Path, file: Path
) -> None:
    tab.commit(PIVOT)
    said = server.get(f"/file/{kind}?pedal=brake")
    assert said.status == 200
    assert said.head["content-disposition"].startswith(
        f'attachment; filename="{kind}";'
    )
    if kind == "design.toml":
        assert said.body.decode() == text_of(tab.state)
        return
    write(load_text(text_of(tab.state), str(file)), tmp_path / kind, pedal="brake")
    assert said.body == (tmp_path / kind).read_bytes()


def test_a_download_of_a_design_that_cannot_be_used(server: Running, tab: Talk) -> None:
    tab.ask("text", base_rev=tab.state["rev"], text="format = 9\n", label="text")
    said = server.get("/file/arm.dxf")
    assert said.status == 422
    assert said.json["faults"][0]["wrong"]
    assert server.get("/file/design.toml").body == b"format = 9\n"


def test_a_mark_before_the_text_is_taken_away_too(tmp_path: Path) -> None:
    path = tmp_path / "brake.toml"
    path.write_bytes(b"\xef\xbb\xbf" + BRAKE.encode())
    with running(BRAKE, str(path), path, tmp_path) as server, server.tab():
        assert server.get("/file/design.toml").body == path.read_bytes()


def test_a_download_that_is_asked_for_wrongly(server: Running) -> None:
    assert server.get("/file/arm.dxf?pedal=nobody").status == 422
    assert server.get("/file/pattern.pdf?paper=vellum").status == 422


# --------------------------------------------------------------------- placing


def test_places_are_found_taken_and_undone(tmp_path: Path) -> None:
    with running(OPEN, "place.toml", None, tmp_path) as server, server.tab() as tab:
        asked: dict[str, Any] = {"pedal": None, "mark": None, "seed": 0}
        seq = tab.say("place", base_rev=tab.state["rev"], **asked)
        found = tab.hear("placed", "refused")
        assert (found["kind"], found["seq"]) == ("placed", seq)
        assert found["status"] == "placed"
        tab.ask("take", base_rev=tab.state["rev"], answer=1)
        placed = text_of(tab.state)
        assert placed != OPEN
        assert tab.ask("take", base_rev=tab.state["rev"], answer=1)["why"] == "stale"
        tab.ask("undo")
        assert text_of(tab.state) == OPEN


def test_findings_are_those_of_the_command_line(tmp_path: Path) -> None:
    text = (EXAMPLES / "brake-manual.toml").read_text(encoding="utf-8")
    text = text.replace('bore = "13/16 in"', 'bore = "1 1/4 in"')
    with running(text, "brake.toml", None, tmp_path) as server, server.tab() as tab:
        seq = tab.say("check")
        told = tab.hear("checked", "refused")
        assert (told["kind"], told["seq"], told["rev"]) == ("checked", seq, 0)
    design = load_text(text)
    report = check(design, tuple(design.pedals))
    said = " ".join(check_text(design, report).split())
    assert told["says"].removesuffix(".") in said
    assert report.count("fail")
    assert told["safe"] in said
    assert [row["verdict"] for row in told["findings"]] == [
        each.verdict for each in report.findings if each.lack is None
    ]
    for row in told["findings"]:
        head = f"{row['sign']} {row['name']} {row['value']} {row['limit']}"
        assert " ".join(head.split()) in said
        assert all(" ".join(text.split()) in said for text in row["told"])
    assert any(row["told"] and row["at"] for row in told["findings"])
    found = rehearse(design, "brake")
    days = " ".join(failures_text(design, found).split())
    assert [row["name"] for row in told["days"]] == [
        *(each.case.name for each in found.outcomes),
        *(each.case.name for each in found.skipped),
    ]
    for row, each in zip(told["days"], found.outcomes, strict=False):
        assert row["at"] == each.travel
        assert " ".join(row["told"][0].split()) in days
    for lack in told["lacks"]:
        assert f"{lack['names']} {lack['why']}" in said


def test_a_file_with_faults_is_not_checked(tmp_path: Path) -> None:
    with (
        running("x = 1\n", "brake.toml", None, tmp_path) as server,
        server.tab() as tab,
    ):
        tab.say("check")
        told = tab.hear("checked", "refused")
        assert (told["kind"], told["why"]) == ("refused", "faults")
        assert "no pedal" in told["faults"][0]["wrong"]


def test_a_search_can_be_stopped_and_only_one_runs(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It searches again and again, so that it surely runs until it is stopped."""
    search = searching.place

    def endless(*given: Any, **asked: Any) -> None:
        while True:
            search(*given, **asked)

    monkeypatch.setattr(searching, "place", endless)
    with running(OPEN, "place.toml", None, tmp_path) as server, server.tab() as tab:
        asked: dict[str, Any] = {"pedal": None, "mark": None, "seed": 0}
        first = tab.say("place", base_rev=tab.state["rev"], **asked)
        busy = tab.ask("place", base_rev=tab.state["rev"], **asked)
        assert (busy["kind"], busy["why"]) == ("refused", "busy")
        assert [each["line"] for each in busy["faults"]] == [None]
        tab.say("stop")
        found = tab.hear("placed")
        assert (found["seq"], found["status"]) == (first, "stopped")


# -------------------------------------------------------------------- recovery


@pytest.mark.parametrize("take", [True, False])
def test_what_a_crash_left_is_offered(tmp_path: Path, take: bool) -> None:
    path, folder = tmp_path / "brake.toml", tmp_path / "journal"
    path.write_text(BRAKE, encoding="utf-8", newline="")
    with running(BRAKE, str(path), path, folder) as server, server.tab() as tab:
        tab.commit(PIVOT)
        left = text_of(tab.state)
    with running(BRAKE, str(path), path, folder) as server, server.tab() as tab:
        assert text_of(tab.state) == BRAKE
        assert tab.state["file"]["recovery"]["lines"] == 1
        tab.ask("recover", take=take)
        assert tab.state["file"]["recovery"] is None
        assert text_of(tab.state) == (left if take else BRAKE)
        tab.ask("undo")
        assert text_of(tab.state) == BRAKE


@pytest.mark.skipif(os.name != "posix", reason="kills as POSIX systems do")
def test_a_kill_loses_at_most_the_running_drag(file: Path, tmp_path: Path) -> None:
    """Killed at the first word of the answer to a step, in the midst of previews."""
    again = (tmp_path, str(file))
    with opened(*again) as (process, address), Running.at(address).tab() as tab:
        tab.commit(PIVOT)
        left = text_of(tab.state)
        drag = {"point": "brake.pad", "to": [-200.0, 250.0], "near": 1.0}
        for _ in range(5):
            tab.say("preview", base_rev=tab.state["rev"], changes=[drag])
        os.kill(process.pid, signal.SIGKILL)
        process.wait()
    assert file.read_text(encoding="utf-8") == BRAKE
    with opened(*again) as (_, address), Running.at(address).tab() as tab:
        assert text_of(tab.state) == BRAKE
        assert tab.state["file"]["recovery"]["lines"] == 1
        tab.ask("recover", take=True)
        assert text_of(tab.state) == left
        assert tab.ask("save", force=False)["kind"] == "saved"
    assert file.read_text(encoding="utf-8") == left
    with opened(*again) as (_, address), Running.at(address).tab() as tab:
        assert tab.state["file"]["recovery"] is None
