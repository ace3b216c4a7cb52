"""Slips at the keyboard: each its own sentence, with its line, and all at once."""

import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from linkage.design.lines import BROKEN, Look, look
from tests.cases_count import many
from tests.linkage.design.samples import BRAKE, FREE


def said(text: str) -> list[str]:
    return [f"{t.line}: {t.key}: {t.wrong} {t.right}" for t in look(text).told]


@pytest.mark.parametrize(
    ("line", "key", "says"),
    [
        ("bore = 3/4 in", "bore", 'text needs quotation marks. Write bore = "3/4 in".'),
        (
            "bore = .70",
            "bore",
            'Put a 0 in front of the dot, and the unit: bore = "0.70 in"',
        ),
        ("travel = -.5", "travel", '"-0.5 in"'),
        (f"travel = {'9' * 5000}", "travel", "too many digits"),
        ("travel = 120.", "travel", "Write travel = 120.0."),
        ("duty = brake", "duty", 'text needs quotation marks. Write duty = "brake".'),
        (
            "pivot = 120, 545",
            "pivot",
            "A point goes into brackets: pivot = [120, 545].",
        ),
        ("pivot = (120, 545)", "pivot", "Write pivot = [120, 545]."),
        ("travel = 120,5", "travel", "A decimal needs a dot: travel = 120.5."),
        ("axis = 2°", "axis", 'Write axis = 2 (degrees), or axis = "2 deg".'),
        ("duty = “brake”", "duty", 'Type straight ones: duty = "brake".'),
        ("duty = ‘brake’ # x", "duty", 'Type straight ones: duty = "brake".'),
        (
            "travel = 120 ; the stop",
            "travel",
            "starts with #. Write travel = 120  # ...",
        ),
        ("travel = 120 // stop", "travel", "starts with #"),
        ("pull = True", "pull", "In small letters: pull = true."),
        ("pull = yes", "pull", "In small letters: pull = true."),
        ("pull = FALSE", "pull", "In small letters: pull = false."),
        ("x = −5", "x", "Type a plain one: x = -5."),
        ("x = 012", "x", "Write x = 12."),
        ("x = 00.5", "x", "Write x = 0.5."),
        ("x =", "x", "nothing stands behind the equals sign"),
        ("x = # later", "x", "nothing stands behind the equals sign"),
        ('bore = "3/4 in', "bore", 'never closed. Write bore = "3/4 in".'),
        ('x = { up = "3/4 }', "x", 'never closed. Write "3/4" }.'),
        ('x = { up = "3/4, back = 2 }', "x", 'Write "3/4", back = 2 }.'),
        ('x = ["3/4, 2]  # [in]', "x", 'Write "3/4", 2].'),
        ('bore = "3/4""', "bore", 'Write bore = "3/4 in".'),
        ('bore = "3/4" in', "bore", 'Write bore = "3/4 in".'),
        ('thread = "M8\\x"', "thread", "a backslash"),
        ("travel = 120 mm", "travel", 'Write travel = "120 mm".'),
        ("axis = down, 9 deg back", "axis", 'Write axis = "down, 9 deg back".'),
        ("when = 2024-05-01", "when", 'Write when = "2024-05-01".'),
        ("x = [120 545]", "x", "a comma is missing. Write 120, 545."),
        ("x = [120; 545]", "x", "a comma is missing. Write 120, 545."),
        ("x = [120 mm, 545]", "x", 'Write "120 mm".'),
        ("x = [.5, 545]", "x", "0.5"),
        ("x = [1,, 2]", "x", "a value is missing here"),
        ("x = { back = 118 mm }", "x", 'Write "118 mm".'),
        ("x = { back: 118 }", "x", "Write back = 118"),
        ("x = { back = 118, }", "x", "a comma stands before the }"),
        ("x = { back = 1, back = 2 }", "x", "back stands twice"),
        ("x = { back 118 }", "x", "equals sign is missing. Write back = 118"),
        ("x = { back = 118", "x", "a { is opened here and never closed"),
        ("x = [120, 545", "x", "a [ is opened here and never closed"),
        ("x = [[[[[[[[[[[[[[[1]]]]]]]]]]]]]]]", "x", "brackets within brackets"),
        ("pivot: [120, 545]", "pivot", "Write pivot = [120, 545]"),
        ("free play = 0.5", "", "A key is one word: free_play = 0.5"),
        ("travel 120", "travel", "Write travel = 120"),
        ("; a remark", "", "a remark starts with #. Write # a remark"),
        ("// a remark", "", "a remark starts with #"),
        ("= 5", "", "is no name for a key"),
        ("[pedal.brake", "", "Write [pedal.brake] on a line of its own."),
        (
            "[[pedal.brake.train]",
            "",
            "Write [[pedal.brake.train]] on a line of its own.",
        ),
        ("[pedal brake]", "", "Write [pedal.brake]"),
        ("[pedal.brake] x = 1", "", "is not a heading"),
        ("[]", "", "this heading is empty"),
        ("a.b.c.d.e.f.g.h.i.j.k.l.m.n = 1", "", "too many words"),
        ("x = { a.b.c.d.e.f.g.h.i.j.k.l.m.n = 1 }", "x", "too many words"),
    ],
)
def test_each_slip_has_its_sentence(line: str, key: str, says: str) -> None:
    text = f"title = 'good'\n{line}\n\n[pedal.other]\ntravel = 5\n"
    (only,) = said(text)
    assert only.startswith(f"2: {key}: " if key else "2: ")
    assert says in only
    assert tomllib.loads(look(text).toml)["pedal"]["other"] == {"travel": 5}


def test_all_slips_at_once_in_file_order() -> None:
    text = "bore = 3/4 in\ngood = 5\nduty = brake\n[[pedal.x.train]\npart = lever\n"
    assert [told.line for told in look(text).told] == [1, 3, 4, 5]
    doc = tomllib.loads(look(text).toml)
    assert doc == {
        "bore": BROKEN,
        "good": 5,
        "duty": BROKEN,
        "pedal": {"x": {"train": [{"part": BROKEN}]}},
    }


def test_a_table_over_two_lines_is_refused_and_the_look_goes_on() -> None:
    text = "clevis = { back = 9,\n  up = 5 }\nbore = .7\n"
    first, second = said(text)
    assert first.startswith(
        "1: clevis: what stands between { and } has to stand on one"
    )
    assert second.startswith("3: bore: ")


def test_an_array_may_span_lines() -> None:
    text = "x = [ # one\n  1,\n\n  2, # two\n]\ny = 3\n"
    seen = look(text)
    assert (seen.told, seen.toml) == ((), text)
    assert seen.spots["x", 1].line == 4
    assert seen.spots["y",].line == 6


def test_a_table_of_a_row_belongs_to_the_last_row() -> None:
    seen = look("[[a.b.c]]\nx = 1\n[[a.b.c]]\n[a.b.c.d]\nx = 2\n")
    assert (seen.spots["a", "b", "c", 0, "x"].line, seen.told) == (2, ())
    assert seen.spots["a", "b", "c", 1, "d", "x"].line == 5


def test_an_open_bracket_does_not_swallow_the_lines_below() -> None:
    (only,) = said("x = [1, 2\ny = 3\n[pedal.a]\nz = 4\n")
    assert only.startswith("1: x: a [ is opened here")


def test_repeated_keys_name_both_lines() -> None:
    (only,) = said("travel = 1\nx = 2\ntravel = 3\n")
    assert (
        only
        == "3: travel: travel is given twice: here and on line 1. Keep one of them."
    )
    assert tomllib.loads(look("a = 1\na = [\n1]\nb = 2").toml) == {"a": 1, "b": 2}


@pytest.mark.parametrize(
    "text",
    ["a = 1\na.b = 2\n", "a.b = 1\na = 2\n", "a = 1\n[a]\nb = 2\n", "[a]\n[[a]]\n"],
)
def test_a_key_is_no_table_as_well(text: str) -> None:
    (only,) = said(text)
    assert "twice: here and on line 1." in only


def test_a_repeated_heading_names_both_lines() -> None:
    (only,) = said("[pedal.brake]\nx = 1\n[pedal.brake]\nx = 2\n")
    assert only.startswith("3: : [pedal.brake] stands twice: here and on line 1.")


def test_several_targets_need_two_brackets() -> None:
    head = "[pedal.brake.target]"
    text = f"[pedal.brake]\n{head}\nof = 'a'\n{head}\nof = 'b'\n"
    (only,) = said(text)
    assert only == (
        f"4: : {head} stands twice: here and on line 2. There may be several of these: "
        f"two brackets each side, [{head}]."
    )
    targets = tomllib.loads(look(text).toml)["pedal"]["brake"]["target"]
    assert targets == [{"of": "a"}, {"of": "b"}]


def test_one_target_may_stand_in_single_brackets() -> None:
    assert said("[pedal.brake.target]\nof = 'a'\n") == []


def test_signs_that_no_editor_shows() -> None:
    (only,) = said("a = 1\nb = 'x\x07y'\n")
    assert only.startswith("2: : holds a sign that no editor shows.")
    (only,) = said('a = "\\u0000"\n')
    assert only.startswith("1: : holds a sign that no editor shows.")


def test_spaces_of_documents_and_old_line_ends_are_taken() -> None:
    seen = look("a\u00a0=\u00a01\rb = 2\r\nc = 3")
    assert seen.told == ()
    assert tomllib.loads(seen.toml) == {"a": 1, "b": 2, "c": 3}
    assert [seen.spots[key,].line for key in "abc"] == [1, 2, 3]


def test_rubbish_is_given_up_on() -> None:
    told = look("rubbish\n" * 5000).told
    assert len(told) == 201
    assert "is this a design file?" in told[-1].wrong


def leaves(doc: object, at: tuple[str | int, ...] = ()) -> dict[object, object]:
    """Walk a parsed document: every place in it with what stands there."""
    found: dict[object, object] = {at: doc}
    rows = dict(enumerate(doc)) if isinstance(doc, list) else doc
    for key, inner in rows.items() if isinstance(rows, dict) else ():
        found |= leaves(inner, (*at, key))
    return found


@pytest.mark.parametrize("text", [BRAKE, FREE, FREE.replace("\n", "\r\n")])
def test_every_value_stands_where_the_look_says(text: str) -> None:
    """A second road: what stands in each spot, parsed alone, is the parser's value."""
    seen: Look = look(text)
    assert (seen.told, seen.toml) == ((), text)
    for at, value in leaves(tomllib.loads(text)).items():
        if at == ():
            continue
        spot = seen.spots[at]  # type: ignore[index]
        assert text.count("\n", 0, spot.start) + 1 == spot.line
        piece = text[spot.start : spot.end]
        is_heading = piece.lstrip().startswith(("[p", "[f", "[["))
        if piece and not is_heading:
            assert tomllib.loads(f"v = {piece}")["v"] == value


KEYS = st.sampled_from(["a", "b", "pedal.x", '"q"', "pedal.x.train", "c.d"])
VALUES = st.sampled_from(
    [
        "1",
        "'t'",
        '"u"',
        "[1, 2]",
        "{ a = 1 }",
        "[\n1,\n]",
        "true",
        "1.5",
        "3/4",
        "{",
        "[",
    ]
)
LINES = st.one_of(
    st.tuples(KEYS, VALUES).map(" = ".join),
    KEYS.map("[{}]".format),
    KEYS.map("[[{}]]".format),
    st.sampled_from(["# r", "", "  ", "x", "[", "}", "]"]),
)


@settings(max_examples=many(5000), derandomize=True, deadline=None)
@given(st.lists(LINES, max_size=9).map("\n".join))
def test_what_is_mended_can_be_parsed(text: str) -> None:
    """The look tells of every slip that the standard reader would stop at."""
    seen = look(text)
    assert seen.toml.count("\n") == text.count("\n")
    tomllib.loads(seen.toml)
    try:
        tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        assert seen.told or "[pedal.x.train]" in text
    else:
        assert seen.told == ()
