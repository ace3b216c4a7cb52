"""Messages of the page: what fits is read as it stands, all else is refused unread."""

import json
import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from linkage.page.wire import (
    KINDS,
    MAY,
    MOST_FILE,
    MOST_MESSAGE,
    Message,
    Unfit,
    inert,
    read,
    read_loading,
    spell,
)
from tests.cases_count import many

POINT = {"point": "brake.pivot", "to": [118.0, 545.5], "near": 2}
CHANGES: list[dict[str, Any]] = [
    POINT,
    {"value": "brake.travel", "number": 118},
    {"value": "brake.train.1.bore", "text": "3/4 in"},
    {"target": ["brake", 2], "set": {"is": "24", "within": None}},
    {"target": ["brake", None], "add": {"of": "stroke", "at": "full"}},
    {"target": ["brake", 2], "remove": True},
    {"lock": "brake.pivot", "on": True},
    {"title": "Quillet, blå"},
]
BODIES: dict[str, dict[str, Any]] = {
    "preview": {"base_rev": 3, "changes": CHANGES[:2]},
    "commit": {"base_rev": 3, "changes": CHANGES, "label": "pivot moved"},
    "text": {"base_rev": 0, "text": "format = 1\r\n", "label": "text"},
    "undo": {},
    "redo": {},
    "show": {"units": "in", "door": "left"},
    "place": {"base_rev": 1, "pedal": "brake", "mark": 0.5, "seed": 0},
    "take": {"base_rev": 1, "answer": 2},
    "stop": {},
    "check": {},
    "save": {"force": False},
    "reload": {},
    "recover": {"take": True},
}


def message(kind: str, **more: Any) -> dict[str, Any]:
    return {"schema": 1, "kind": kind, "seq": 7, **BODIES[kind], **more}


def refusal(said: Any) -> Unfit:
    with pytest.raises(Unfit) as caught:
        read(said if isinstance(said, str | bytes) else json.dumps(said))
    return caught.value


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_is_read(kind: str) -> None:
    found = read(json.dumps(message(kind)))
    assert found == Message(kind=kind, seq=7, body=BODIES[kind])


@pytest.mark.parametrize("kind", KINDS)
def test_a_key_more_or_less_is_refused(kind: str) -> None:
    assert refusal(message(kind, more=1)).seq == 7
    for key in BODIES[kind]:
        short = {name: said for name, said in message(kind).items() if name != key}
        assert refusal(short).fault.right.startswith("It takes: ")


@pytest.mark.parametrize(
    ("kind", "more"),
    [("preview", {"whole": False}), ("show", {"also": {"brake": 76.2}})],
)
def test_what_may_be_left_out_may_be_there(kind: str, more: dict[str, Any]) -> None:
    assert read(json.dumps(message(kind, **more))).body == BODIES[kind] | more


@pytest.mark.parametrize("also", [{}, [], {"a b": 1}, {"brake": -1}, {"brake": "1"}])
def test_a_place_of_a_pad_that_does_not_fit(also: Any) -> None:
    assert refusal(message("show", also=also)).fault.key.startswith("show.also")


@pytest.mark.parametrize(
    "change",
    [
        {},
        [],
        "x",
        {"point": "brake.pivot"},
        POINT | {"to": [1.0]},
        POINT | {"to": [1.0, 2.0, 3.0]},
        POINT | {"to": [1.0, "2"]},
        POINT | {"to": [True, 1.0]},
        POINT | {"to": [1e6, 0.0]},
        POINT | {"to": [10**400, 0.0]},
        POINT | {"to": None},
        POINT | {"near": -1},
        POINT | {"point": "brake pivot"},
        POINT | {"point": "../x"},
        POINT | {"point": "x" * 300},
        POINT | {"point": 4},
        POINT | {"more": 4},
        {"value": "brake.travel", "number": "118"},
        {"value": "brake.travel", "text": "a\nb"},
        {"value": "brake.travel", "text": "\x1b[31m"},
        {"value": "brake.travel", "text": "x" * 500},
        {"value": "brake.travel", "text": "\ud800"},
        {"target": ["brake", -1], "remove": True},
        {"target": ["brake", 1], "remove": False},
        {"target": ["brake", 1.5], "remove": True},
        {"target": ["brake", 1], "set": {}},
        {"target": ["brake", 1], "set": {"a b": "1"}},
        {"target": ["brake", 1], "set": {"is": 4}},
        {"lock": "brake.pivot", "on": 1},
        {"title": 3},
    ],
)
def test_a_change_that_does_not_fit(change: Any) -> None:
    found = refusal(message("commit", changes=[POINT, change]))
    assert found.seq == 7
    assert found.fault.key.startswith("commit.changes.1")
    assert found.fault.wrong


@pytest.mark.parametrize("change", CHANGES[2:])
def test_a_preview_only_moves(change: Any) -> None:
    assert refusal(message("preview", changes=[change])).seq == 7


@pytest.mark.parametrize(
    "said",
    [
        *("", "{", "nan", "[]", "null", "1", '"x"', "\x00", b"\xff\xfe{}"),
        "[" * 100_000,
        '{"schema":1,"kind":"undo","seq":7,"seq":8}',
        '{"schema":1,"kind":"undo","seq":NaN}',
        '{"schema":1,"kind":"undo","seq":' + "9" * 5000 + "}",
        message("undo", seq=None),
        message("undo", seq=-1),
        message("undo", seq=True),
        message("undo", seq=2**53),
        message("undo", schema=2),
        message("undo", schema=True),
        message("undo", schema=None),
        {"schema": 1, "kind": "fetch", "seq": 7},
        {"schema": 1, "kind": ["undo"], "seq": 7},
        message("commit", base_rev=-1),
        message("commit", base_rev=1.0),
        message("commit", changes=[]),
        message("commit", changes=[POINT] * 65),
        message("commit", label="\x07"),
        message("show", units="ft"),
        message("show", door=None),
        message("place", mark=-0.5),
        message("place", seed=None),
        message("save", force=0),
        message("text", text="\udc00"),
        message("text", text=4),
    ],
)
def test_what_does_not_fit(said: Any) -> None:
    assert refusal(said).fault.wrong


@pytest.mark.parametrize("spelt", ["NaN", "Infinity", "-Infinity", "1e999", "-1e999"])
def test_numbers_are_finite(spelt: str) -> None:
    text = json.dumps(message("preview")).replace("545.5", spelt)
    assert refusal(text).fault.wrong


def test_sizes() -> None:
    long = "x" * MOST_MESSAGE
    assert "64 kB" in refusal(message("commit", label=long)).fault.wrong
    whole = "é" * (MOST_FILE // 2)
    fits, longer = (
        json.dumps(message("text", text=text), ensure_ascii=False)
        for text in (whole, whole + "x")
    )
    assert read(fits).body["text"] == whole
    assert "longer" in refusal(longer).fault.wrong
    assert "1 MB" in refusal(" " * 2 * MOST_FILE).fault.wrong


JSON = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats()
    | st.text(max_size=8)
    | st.sampled_from(["brake.pivot", "undo", "mm"]),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(["point", "to", "near", "value", "number", "x", "target"]),
            inner,
            max_size=3,
        )
    ),
    max_leaves=8,
)


@settings(max_examples=many(3000), deadline=None)
@given(st.sampled_from(sorted(KINDS)), st.data())
def test_a_fuzzed_message_is_read_or_refused(kind: str, data: st.DataObject) -> None:
    """One spot of a good message holds anything at all."""
    good = message(kind)
    key = data.draw(st.sampled_from([*good, "more"]))
    good[key] = data.draw(JSON)
    try:
        found = read(json.dumps(good))
    except Unfit:
        return
    assert found.kind in KINDS
    left_out = KINDS[found.kind].keys() - found.body.keys()
    assert left_out <= set(MAY.get(found.kind, ()))
    assert found.body.keys() <= KINDS[found.kind].keys()
    assert all(math.isfinite(each) for each in numbers(found.body))


@settings(max_examples=many(2000), deadline=None)
@given(st.binary(max_size=60) | st.text(max_size=60))
def test_any_text_is_read_or_refused(said: bytes | str) -> None:
    with pytest.raises(Unfit):
        read(said)


def numbers(said: Any) -> list[float]:
    """Return every number in a message."""
    if isinstance(said, dict):
        return [each for inner in said.values() for each in numbers(inner)]
    if isinstance(said, list):
        return [each for inner in said for each in numbers(inner)]
    return [said] if isinstance(said, int | float) else []


def test_a_file_that_is_sent() -> None:
    given = json.dumps({"name": "a.toml", "text": "format = 1\n"})
    assert read_loading(given) == ("a.toml", "format = 1\n")
    assert read_loading('{"example": "clutch"}') == ("clutch", None)


@pytest.mark.parametrize(
    "said",
    [
        *("", "[]", "{}", '{"name":"a.toml"}', '{"name":"a\\nb","text":""}'),
        *('{"name":"a","text":4}', '{"example":"a/b"}', '{"example":"a","text":""}'),
        json.dumps({"name": "a.toml", "text": "x" * (MOST_FILE + 1)}),
    ],
)
def test_a_file_that_does_not_fit(said: str) -> None:
    with pytest.raises(Unfit):
        read_loading(said)


def test_what_goes_out_is_json_without_nan() -> None:
    said = spell("state", rev=1, name="é")
    assert json.loads(said) == {"schema": 1, "kind": "state", "rev": 1, "name": "é"}
    assert json.loads(spell("x", value=[math.nan, math.inf]))["value"] == [None, None]


@given(st.text() | st.just("</script><!--\u2028\u2029]]>&"))
def test_json_inside_a_page_ends_no_block(name: str) -> None:
    said = inert(spell("state", name=name))
    assert not set(said) & set("<>&\u2028\u2029")
    assert json.loads(said)["name"] == name
