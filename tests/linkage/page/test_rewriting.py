"""Wishes, locks and titles: put in and taken out, all else to the byte.

The second road is tomlkit and the standard reader: what a text says before and after.
"""

import tomllib
from typing import Any

import pytest
import tomlkit

from linkage.page.document import Document, Refused, read
from linkage.page.edits import apply
from tests.linkage.page.cases import FORMS, documents

FORMED = documents()[-1]
INLINE = """\
title = "t"
[pedal.brake]
pivot = [120, 545]
pad = [35, 255]
travel = 120
locked = [ "pivot", 'pad' ]  # welded
target = [
    { of = "distance", between = ["pad", "pivot"], least = 4 },  # a
    { of = "distance", between = ["pad", "pivot"], most = 400 }  # b
]
"""
DOTTED = """\
pedal.brake.pivot = [120, 545]
pedal.brake.pad.ahead = 35   # in words
pedal.brake.pad.up = 255
pedal.brake.travel = 120
"""


def change(text: str, *changes: dict[str, Any]) -> str:
    document = read(text, "x.toml")
    assert document.design is not None, document.faults
    return apply(document, changes).text


def says(text: str) -> Any:
    """Return what a text says, by the standard reader and by tomlkit alike."""
    found = tomllib.loads(text)
    assert tomlkit.parse(text).unwrap() == found
    assert tomlkit.dumps(tomlkit.parse(text)) == text
    return found


def wishes(text: str, pedal: str = "brake") -> Any:
    return says(text)["pedal"][pedal].get("target", [])


def others(text: str, pedal: str = "brake") -> Any:
    found = says(text)
    found["pedal"][pedal].pop("target", None)
    return found


def lines_gone(before: str, after: str) -> list[str]:
    """Return the lines of one text that another lacks; the rest keeps its order."""
    left = iter(after.splitlines(keepends=True))
    kept = next(left, None)
    gone = []
    for line in before.splitlines(keepends=True):
        if line == kept:
            kept = next(left, None)
        else:
            gone.append(line)
    assert kept is None
    return gone


@pytest.mark.parametrize("text", [FORMS, FORMS.replace("\n", "\r\n"), INLINE])
def test_a_key_of_a_wish_is_set(text: str) -> None:
    least = next(n for n, each in enumerate(wishes(text)) if "least" in each)
    after = change(
        text,
        {"target": ["brake", least + 1], "set": {"least": "4.25", "at": "0 to 60 mm"}},
    )
    wanted = wishes(text)
    wanted[least] |= {"least": 4.25, "at": "0 to 60 mm"}
    assert wishes(after) == wanted
    assert others(after) == others(text)
    assert after.count("\r") == after.count("\n") * ("\r" in text)
    back = {"target": ["brake", least + 1], "set": {"least": "4", "at": None}}
    assert change(after, back) == text


def test_a_comment_stays_beside_its_key() -> None:
    after = change(FORMS, {"target": ["brake", 1], "set": {"within": "0.5 mm"}})
    assert 'within = "0.5 mm"   # good enough' in after


def test_a_wish_of_another_kind() -> None:
    given = {"is": None, "within": None, "most": "25"}
    after = change(FORMS, {"target": ["brake", 1], "set": given})
    assert wishes(after)[0] == {"of": "stroke", "at": "full", "most": 25}
    assert others(after) == others(FORMS)


@pytest.mark.parametrize("number", [1, 2])
def test_a_wish_is_taken_out(number: int) -> None:
    after = change(FORMS, {"target": ["brake", number], "remove": True})
    wanted = wishes(FORMS)
    del wanted[number - 1]
    assert wishes(after) == wanted
    assert others(after) == others(FORMS)
    gone = lines_gone(FORMS, after)
    assert [line for line in gone if line.startswith("[[")] == [
        "[[pedal.brake.target]]\n"
    ]
    assert "\n\n\n" not in after


@pytest.mark.parametrize("number", [1, 2])
def test_a_wish_between_braces_is_taken_out(number: int) -> None:
    after = change(INLINE, {"target": ["brake", number], "remove": True})
    wanted = wishes(INLINE)
    del wanted[number - 1]
    assert wishes(after) == wanted
    assert others(after) == others(INLINE)
    assert after.count("# a") == after.count("# b") == 1


@pytest.mark.parametrize(
    ("text", "pedal"), [(FORMS, "brake"), (FORMS, "clutch"), (INLINE, "brake")]
)
def test_a_wish_is_added_behind_the_others(text: str, pedal: str) -> None:
    wish = {
        "of": "distance",
        "between": '["pad", "pivot"]',
        "at": "60 %",
        "is": "250.5",
        "within": "0.2 in",
    }
    after = change(text, {"target": [pedal, None], "add": wish})
    new = wish | {"between": ["pad", "pivot"], "is": 250.5}
    assert wishes(after, pedal) == [*wishes(text, pedal), new]
    assert others(after, pedal) == others(text, pedal)
    if text == FORMS:
        assert lines_gone(after, text)
    count = len(wishes(after, pedal))
    assert change(after, {"target": [pedal, count], "remove": True}) == text


def test_a_text_without_a_last_line_end() -> None:
    text = FORMS.rstrip("\n")
    after = change(
        text, {"target": ["clutch", None], "add": {"of": "ratio", "least": "2"}}
    )
    assert wishes(after, "clutch") == [{"of": "ratio", "least": 2}]
    assert after.startswith(text)


def test_every_example_takes_and_gives_back_a_wish() -> None:
    for document in documents():
        assert document.design is not None
        for pedal in document.design.pedals.values():
            count = len(pedal.targets) + 1
            add = {
                "target": [pedal.name, None],
                "add": {"of": "distance", "between": '["pad", "pivot"]', "least": "1"},
            }
            more = apply(document, [add])
            assert more.design is not None
            assert len(more.design.pedals[pedal.name].targets) == count
            less = apply(more, [{"target": [pedal.name, count], "remove": True}])
            assert less.text == document.text
            for number in range(1, count):
                gone = apply(
                    document, [{"target": [pedal.name, number], "remove": True}]
                )
                assert others(gone.text, pedal.name) == others(
                    document.text, pedal.name
                )
                assert not lines_of_others_gone(document, gone)


def lines_of_others_gone(before: Document, after: Document) -> list[str]:
    """Return comments on lines of their own that were lost."""
    return [
        line for line in lines_gone(before.text, after.text) if line.startswith("#")
    ]


# ------------------------------------------------------------------------- locks


def test_locks_come_and_go() -> None:
    one = change(FORMS, {"lock": "brake.pad", "on": True})
    assert says(one)["pedal"]["brake"]["locked"] == ["pad"]
    two = change(one, {"lock": "brake.holes.side", "on": True})
    assert says(two)["pedal"]["brake"]["locked"] == ["pad", "holes.side"]
    assert change(two, {"lock": "brake.pad", "on": True}) == two
    left = change(two, {"lock": "brake.pad", "on": False})
    assert says(left)["pedal"]["brake"]["locked"] == ["holes.side"]
    assert change(left, {"lock": "brake.holes.side", "on": False}) == FORMS


def test_a_list_keeps_its_comment_and_spaces() -> None:
    assert 'locked = [ "pivot" ]  # welded' in change(
        INLINE, {"lock": "brake.pad", "on": False}
    )
    assert "locked = [ 'pad' ]  # welded" in change(
        INLINE, {"lock": "brake.pivot", "on": False}
    )


def test_short_names_of_holes_are_found() -> None:
    text = FORMS.replace(
        "full = { back = 62 }", 'full = { back = 62 }\nlocked = ["side"]'
    )
    after = change(text, {"lock": "brake.holes.side", "on": False})
    assert after == FORMS


# ------------------------------------------------------------------------- others


def test_a_title_is_put_first() -> None:
    text = FORMS.replace('title = "Bench piece"   # no car at all\n', "")
    after = change(text, {"title": "New"})
    assert says(after)["title"] == "New"
    assert lines_gone(after, text) == ['title = "New"\n']


def test_keys_with_dots() -> None:
    wish = {"of": "distance", "between": '["pad", "pivot"]', "least": "2"}
    more = change(DOTTED, {"target": ["brake", None], "add": wish})
    assert len(wishes(more)) == 1
    assert others(more) == others(DOTTED)
    after = change(DOTTED, {"lock": "brake.pivot", "on": True}, {"title": "t"})
    assert says(after)["pedal"]["brake"]["locked"] == ["pivot"]
    assert lines_gone(after, DOTTED)
    moved = change(DOTTED, {"point": "brake.pad", "to": [36.0, 255.0], "near": 0.0})
    assert "pedal.brake.pad.ahead = 36   # in words" in moved


def test_a_place_that_the_text_does_not_have_is_refused() -> None:
    with pytest.raises(Refused):
        change(INLINE, {"value": "brake.arm.plate", "text": "8"})


@pytest.mark.parametrize(
    ("path", "row"),
    [
        ("brake.train.2.bore", """["5/8 in",   '0.70 in', "3/4 in"]"""),
        ("brake.clevis", """["side",   'lower', "upper"]"""),
    ],
)
def test_a_choice_keeps_its_other_members_in_order(path: str, row: str) -> None:
    old = '[0.70, "3/4 in"]' if "bore" in path else '["lower", "upper"]'
    text = FORMS.replace(old, row)
    first, second, third = tomllib.loads(f"v = {row}")["v"]
    after = change(text, {"value": path, "text": third})
    assert after == text.replace(row, f"""["{third}",   "{first}", '{second}']""")
    assert change(after, {"value": path, "text": third}) == after
