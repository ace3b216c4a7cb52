"""Faults: each with file, line, key, what is wrong and what would be right."""

from pathlib import Path

import pytest

from linkage.faults import DesignError
from linkage.loading import load, load_text
from linkage.places import Places
from linkage.sweeping import standing
from tests.linkage.design.samples import BRAKE, FREE

LEVER = """\
[pedal.clutch]
pivot = [120, 545]
pad = [35, 255]
clevis = [106, 600]
travel = 100
[[pedal.clutch.train]]
part = "lever"
pivot = [180, 550]
input = [180, 600]
output = [225, 590]
[[pedal.clutch.train]]
part = "cable"
ferrule = [0, 600]
"""


def faults(text: str) -> list[str]:
    with pytest.raises(DesignError) as refusal:
        load_text(text, "brake.toml")
    return str(refusal.value).splitlines()


def only(text: str) -> str:
    (line,) = faults(text)
    return line


def test_a_bore_in_the_other_system() -> None:
    assert only(BRAKE.replace('"3/4 in"', "0.75")) == (
        "brake.toml:14: bore: 0.75 would be a 0.75 mm bore, because this file is in mm. "
        'Write bore = "0.75 in" (19.05 mm).'
    )


def test_a_bore_in_mm_in_an_inch_file() -> None:
    said = faults(
        BRAKE.replace('units = "mm"', 'units = "in"').replace('"3/4 in"', "19.05")
    )
    assert any(
        line.startswith(
            "brake.toml:14: bore: 19.05 would be a 19.05 in bore, because this file is in "
            'inches. Write bore = "19.05 mm" (0.75 in).'
        )
        for line in said
    )


def test_a_decimal_comma_in_a_point() -> None:
    assert only(BRAKE.replace("[120, 545]", "[120,5, 545]")) == (
        "brake.toml:5: pivot: a point has two numbers and this has three (120, 5, 545). "
        "For 120 and a half write 120.5, with a dot."
    )


def test_a_key_under_the_wrong_heading() -> None:
    text = BRAKE.replace("travel = 120\n", "") + "travel = 120\n"
    assert only(text) == (
        "brake.toml:22: travel: belongs to [pedal.brake], but it stands under "
        "[[pedal.brake.target]], which starts at line 17. Move it up, straight under "
        "[pedal.brake], before its first [[...]]."
    )


def test_an_unknown_quantity() -> None:
    assert only(BRAKE.replace('"stroke"\nat', '"stoke"\nat')) == (
        'brake.toml:19: of: "stoke" is not something I can measure. Nearest: "stroke".'
    )


def test_a_gap_below_nothing() -> None:
    assert only(BRAKE.replace("free_play = 0.5", "free_play = -0.8")) == (
        "brake.toml:16: free_play: -0.8 holds the piston 0.8 off its ring at rest. "
        "The ports stay shut and the brakes drag as they warm. "
        "Shorten the rod by 1.3 for a gap of 0.5 mm."
    )


def test_all_faults_at_once_in_file_order() -> None:
    text = BRAKE.replace("[35, 255]", "[35, 255, 1]").replace("3/4 in", "3/4 im")
    text = text.replace('"full"', "full").replace("[233, 487]", '"shaft"')
    said = faults(text)
    assert [int(line.split(":")[1]) for line in said] == [6, 12, 14, 20]


@pytest.mark.parametrize(
    ("old", "new", "line", "says"),
    [
        # keys
        ("clevis", "clevs", 7, "Nearest: clevis."),
        (
            "travel = 120",
            "travel = 120\nseat = [1, 2]",
            9,
            "a cylinder, [[pedal.brake.train]]",
        ),
        (
            "travel = 120",
            "travel = 120\nleast = 3",
            9,
            "Move it under [[pedal.brake.target]]",
        ),
        ("travel = 120", "travel = 120\nfloor = 3", 9, "Move it under [footwell]"),
        ("travel = 120", 'travel = 120\nscatter = "even"', 9, "before the first [...]"),
        ("travel = 120", "travel = 120\nzzz = 3", 9, "Known here: duty, pivot"),
        ("travel = 120", "travel = 120\nstrok = 3", 9, "Nearest: stroke, of [[pedal"),
        (
            'units = "mm"',
            'units = "mm"\npivot = 3',
            3,
            "Move it down, under [pedal.brake]",
        ),
        (
            'units = "mm"',
            'units = "mm"\ncolour = 3',
            3,
            "is not a key that is known here",
        ),
        (
            "bore =",
            "output = [1, 2]\nbore =",
            14,
            "belongs to a lever, and this part is a",
        ),
        ("[pedal.brake]", "[padel.brake]\nx = 1\n[pedal.brake]", 4, "Nearest: pedal."),
        # wrong types
        ("travel = 120", "travel = true", 8, "true stands where a number belongs"),
        ("travel = 120", "travel = [1]", 8, "a list stands where a number belongs"),
        ("[120, 545]", "true", 5, "true stands where a point belongs"),
        ("[120, 545]", "[]", 5, "this has none"),
        ("[120, 545]", "[[1], 2]", 5, "a list stands where a number belongs"),
        ('"Quillet two-seater"', "5", 1, "5 stands where text belongs"),
        ('"forward"', "[1, 2]", 13, "a list is no direction"),
        ('"forward"', '"sideways"', 13, "is no direction"),
        ('"forward"', '"2 deg up"', 13, '"forward, 2 deg up"'),
        ('"forward"', '"forward, 2 deg back"', 13, 'Turn it "up" or "down"'),
        ('"forward"', '"down, 2,5 deg back"', 13, "2.5"),
        ('"forward"', "400", 13, "is too great for"),
        ("free_play = 0.5", "pull = 1", 16, "neither true nor false"),
        ('"cylinder"', '"cilinder"', 11, 'Nearest: "cylinder"'),
        ('"cylinder"', "5", 11, "is not a part that is known"),
        ('units = "mm"', 'units = "cm"', 2, '"mm", "in"'),
        ('units = "mm"', "format = 2", 2, "A newer footwell reads it"),
        ('units = "mm"', 'format = "1"', 2, "Write format = 1"),
        ('units = "mm"', 'scatter = "odd"', 2, '"even", "normal"'),
        # sizes
        ("[120, 545]", "[120, 54500]", 5, "is too great for"),
        ("[120, 545]", "[120, 1e99]", 5, "far too large"),
        ("[120, 545]", "[120, nan]", 5, "not a number that can be measured"),
        ("[120, 545]", "[-inf, 545]", 5, "not a number that can be measured"),
        ("travel = 120", "travel = 0", 8, "0 is not more than 0"),
        ("travel = 120", "travel = 12000", 8, "It may be 5 to 600 mm"),
        ("travel = 120", 'travel = "5 N"', 8, "is a force, and a length belongs here"),
        ("travel = 120", 'travel = "130 to 100"', 8, "runs backwards"),
        ('"3/4 in"', '"0.7 to 0.8 in"', 14, "one_of"),
        ('"3/4 in"', '"0.75 in +- 0.01"', 14, 'Write bore = "0.75 in", or bore = {'),
        (
            '"3/4 in"',
            '"0.75 ± 0.01 in"',
            14,
            'no tolerance. Write bore = "0.75 in", or',
        ),
        ('"3/4 in"', '"19 +- 1"', 14, "takes no tolerance. Write bore = 19, or"),
        ('"3/4 in"', '"1e9"', 14, 'astray? Write bore = "3/4 in", say.'),
        (
            "within = 0.2",
            "within = -1",
            22,
            '-1 is not more than 0. Write within = "0.5',
        ),
        ("within = 0.2", 'within = "1e9"', 22, 'astray? Write within = "0.5 mm", say.'),
        ("within = 0.2", "within = 1e9", 22, "1E+9 is far too large"),
        ("within = 0.2", 'within = "0 to 1"', 22, '"0 to 1": within takes one number'),
        ("is = 24", 'is = "24 to 26"', 21, "Write least = 24 and most = 26."),
        ("is = 24", 'is = "about 24"', 21, "a guess, and a target is a wish"),
        ("is = 24", "is = { one_of = [] }", 21, "nothing to choose from"),
        ('"1.4 in"', '"1 to 2 in"', 15, "stroke takes one number"),
        # names
        (
            "[120, 545]",
            '"shaft"',
            5,
            'there is no point "shaft" here. Known: pivot, pad',
        ),
        ("[120, 545]", '"pda"', 5, 'Nearest: "pad"'),
        ("[106, 484.5]", '{ one_of = ["pad", "upper"] }', 7, 'no point "upper"'),
        ("[106, 484.5]", '{ one_of = ["pad", "pad"] }', 7, "twice"),
        ("[106, 484.5]", "{ one_of = [] }", 7, "nothing to choose from"),
        ("[106, 484.5]", '{ one_of = ["pad"], up = 3 }', 7, "stands alone"),
        ("travel = 120", 'travel = 120\nlocked = ["pivt"]', 9, 'Nearest: "pivot"'),
        ("travel = 120", "travel = 120\nlocked = 5", 9, "a list of names"),
        ("travel = 120", "travel = 120\nacross = { pd = 5 }", 9, "Known: pivot, pad"),
        # points
        (
            "[106, 484.5]",
            "{ back = 9 , ahead = 3 }",
            7,
            "ahead and back are both given",
        ),
        ("[106, 484.5]", "{ up = 9 , down = 3 }", 7, "up and down are both given"),
        ("[106, 484.5]", "{}", 7, "back and up are missing"),
        ("[106, 484.5]", "{ bak = 3 }", 7, "Nearest: back."),
        ("[106, 484.5]", "{ x = 3, z = 4 }", 7, "Signs are for [x, z]"),
        ("[106, 484.5]", '{ from = "pivot", reach = 5 }', 7, "angle is missing"),
        (
            "[106, 484.5]",
            '{ from = "pivot", reach = 0, angle = 5 }',
            7,
            "not more than 0",
        ),
        ("[106, 484.5]", '{ line = "pivot", along = 5 }', 7, "two names of points"),
        (
            "[106, 484.5]",
            '{ line = ["pad", "pad"], along = 5 }',
            7,
            "two ends that differ",
        ),
        ("[106, 484.5]", '{ line = ["pivot", "pad"] }', 7, "along is missing"),
        (
            "[106, 484.5]",
            '{ line = ["pivot", "pad"], along = 5, up = 2, ahead = 3 }',
            7,
            "only one way is square",
        ),
        (
            "[106, 484.5]",
            '{ from = "pivot", reach = 5, angle = "down", off = "pad" }',
            7,
            "with off the angle is a number",
        ),
        (
            "[106, 484.5]",
            '{ from = "own pivot", reach = 5, side = "above" }',
            7,
            "of a part",
        ),
        # travel
        (
            "travel = 120",
            "travel = 120\nfull = { tape = 90 }",
            9,
            "the same thing twice",
        ),
        ("travel = 120", "full = { tap = 90 }", 8, "tape, back, ahead, up, down"),
        ("travel = 120", "full = 90", 8, "90 stands where a table belongs"),
        ("travel = 120\n", "", 4, "travel is missing"),
        ("pivot  = [120, 545]", "", 4, "pivot is missing"),
        ("clevis = [106, 484.5]", "", 4, "clevis is missing"),
        ("[pedal.brake]", '[pedal.brake]\nduty = "brak"', 5, '"brake", "clutch"'),
        ("travel = 120", 'travel = 120\npress = "left"', 9, '"forward", "up", "down"'),
        # parts
        ('axis = "forward"', "", 10, 'axis is missing. Write axis = "forward".'),
        ('part = "cylinder"\n', "", 10, "part is missing"),
        ("seat = [233, 487]", "", 10, "nothing says where the cylinder is"),
        ("free_play = 0.5", 'name = "a b"', 16, "cannot be a name"),
        ("free_play = 0.5", 'name = "pivot"', 16, "cannot be a name"),
        ("free_play = 0.5", "name = 5", 16, "5 stands where text belongs"),
        # targets
        ("is = 24\nwithin = 0.2\n", "", 18, "says nothing of what it should be"),
        ("is = 24\nwithin = 0.2", "min = 24", 21, "min: is not a key that is known"),
        ("within = 0.2", "least = 3", 22, "is and least stand in one target"),
        ("is = 24", "least = 24", 22, "within goes with is"),
        (
            "is = 24\nwithin = 0.2",
            "least = 5\nmost = 4",
            21,
            "least 5 is more than most 4",
        ),
        (
            "within = 0.2",
            "within = 0",
            22,
            '0 is not more than 0. Write within = "0.5 mm", say.',
        ),
        ("is = 24", 'is = "24 +- 0.2"', 21, "within = 0.2"),
        ("is = 24", 'is = "24 deg"', 21, "a length belongs here"),
        ('at = "full"', 'at = "half"', 20, '"60 %"'),
        ('at = "full"', 'at = "500 kg"', 20, "a length belongs here"),
        ('at = "full"', "at = -5", 20, "before the rest stop"),
        ('at = "full"', 'at = "70 to 0"', 20, "runs backwards"),
        ('at = "full"', 'at = "0 to 70 near 5"', 20, "is no place"),
        ('at = "full"', 'at = "about 35"', 20, "is no place"),
        ('at = "full"', 'at = "35 +- 2"', 20, "is no place"),
        ('at = "full"', "at = { one_of = [3, 4] }", 20, "is no place"),
        ('at = "full"', "which = 0", 20, "picks nothing"),
        ('at = "full"', 'between = ["pad"]', 20, "takes no points"),
        ('of = "stroke"', 'of = "distance"', 18, 'Write between = ["pad", "clevis"]'),
        (
            'of = "stroke"',
            'of = "angle"\nbetween = ["pad", "pad", "pivot"]',
            20,
            "twice",
        ),
        ('"stroke"\nat', "5\nat", 19, "is not something I can measure"),
        ('of = "stroke"\n', "", 18, "of is missing"),
    ],
)
def test_one_fault_one_sentence(old: str, new: str, line: int, says: str) -> None:
    assert old in BRAKE
    said = only(BRAKE.replace(old, new, 1))
    place, sentence = f"brake.toml:{line}: ", said
    assert says in sentence
    assert sentence.startswith(place)


def test_words_in_a_choice_are_told_in_degrees() -> None:
    axis = 'axis = { one_of = ["forward, 2 deg up", "down, 1/2 deg back", "up", 3] }'
    said = only(BRAKE.replace('axis = "forward"', axis))
    assert "Write { one_of = [2, -90.5, 90, 3] }: degrees from forward" in said


@pytest.mark.parametrize("table", ["vehicle", "pedal.brake.arm", "driver"])
def test_a_key_that_is_like_none_is_told_those_of_its_own_table(table: str) -> None:
    head = f"[{table}]\nfoo = 1\n"
    (said,) = [line for line in faults(BRAKE + head) if "foo" in line]
    assert "Nearest" not in said
    assert "Known here: " in said


@pytest.mark.parametrize(
    ("stop", "key"),
    [
        ("full = { back = 40 }", "full.back"),
        ("full = { up = -400 }", "full.up"),
        ("full = { tape = 599 }", "full.tape"),
    ],
)
def test_a_stop_that_cannot_be_is_told_at_its_own_key(stop: str, key: str) -> None:
    with pytest.raises(DesignError) as refusal:
        standing(load_text(BRAKE.replace("travel = 120", stop)), "brake")
    (fault,) = refusal.value.faults
    assert (fault.line, fault.key) == (8, key)


@pytest.mark.parametrize("number", ["0x78", "0o170", "0b111_1000", "1_2_0", "120.0"])
def test_every_number_of_toml_is_a_number(number: str) -> None:
    text = BRAKE.replace("travel = 120", f"travel = {number}")
    assert load_text(text).pedals["brake"].full.value.nominal == 120.0


def test_several_pedals_under_one_bracket() -> None:
    assert "One bracket each side" in only(
        BRAKE.replace("[pedal.brake]", "[[pedal.brake]]")
    )


def test_a_single_target_may_stand_in_single_brackets() -> None:
    design = load_text(BRAKE.replace("[[pedal.brake.target]]", "[pedal.brake.target]"))
    assert [target.number for target in design.pedals["brake"].targets] == [1]


def test_two_targets_in_single_brackets() -> None:
    once = BRAKE.replace("[[pedal.brake.target]]", "[pedal.brake.target]")
    again = '[pedal.brake.target]\nof = "ratio"\nmost = 6\n'
    assert only(once + again) == (
        "brake.toml:23: [pedal.brake.target] stands twice: here and on line 18. There may "
        "be several of these: two brackets each side, [[pedal.brake.target]]."
    )


@pytest.mark.parametrize("name", ["brakes", "left"])
def test_a_pedal_whose_name_says_no_duty(name: str) -> None:
    said = only(BRAKE.replace("pedal.brake", f"pedal.{name}"))
    assert 'duty is missing. Write duty = "brake".' in said


@pytest.mark.parametrize(
    "name", ["point", "footwell", '"a.b"', '"two words"', "train", "pivot"]
)
def test_names_that_paths_need(name: str) -> None:
    text = BRAKE.replace("pedal.brake", f"pedal.{name}")
    text = text.replace("travel", 'duty = "brake"\ntravel')
    assert "cannot name a pedal" in only(text)
    said = (
        only(BRAKE + f"[pedal.brake.holes]\n{name} = [1, 2]\n")
        if name != "footwell"
        else ""
    )
    assert not said or "cannot name a hole" in said


def test_keys_of_a_pedal_among_its_holes() -> None:
    text = BRAKE.replace(
        "travel = 120\n", "[pedal.brake.holes]\nlow = [1, 2]\ntravel = 120\n"
    )
    assert only(text) == (
        "brake.toml:10: travel: belongs to [pedal.brake], but it stands under "
        "[pedal.brake.holes], which starts at line 8. Move it up, straight under "
        "[pedal.brake], before its first [[...]]."
    )


@pytest.mark.parametrize("name", ["spring", "arm", "travel", "title", "footwell"])
def test_a_hole_may_be_called_as_a_key_elsewhere(name: str) -> None:
    text = BRAKE + f'[pedal.brake.holes]\n{name} = "pad"\n'
    places = Places(load_text(text))
    assert places.point(f"brake.holes.{name}") == places.point("brake.pad")


def test_there_is_no_pedal() -> None:
    assert "there is no pedal in this file" in only('title = "x"\n')
    assert "there is no pedal in this file" in only("")
    assert "Start one: [pedal.brake]." in only("# nothing yet\n")


# ------------------------------------------------------------------------- trains


def test_a_good_train() -> None:
    (pedal,) = load_text(LEVER).pedals.values()
    assert [part.KIND for part in pedal.train] == ["lever", "cable"]


def test_nothing_stands_behind_an_end() -> None:
    text = LEVER + '[[pedal.clutch.train]]\npart = "cable"\nferrule = [0, 600]\n'
    assert only(text) == (
        "brake.toml:14: train 3: stands behind a cable, which ends the train. "
        "Take one of them out, or change the order."
    )


def test_a_lever_without_an_output_ends_the_train() -> None:
    said = only(LEVER.replace("output = [225, 590]\n", ""))
    assert said.startswith(
        "brake.toml:6: train 1: the train goes on, and this lever has no"
    )


def test_an_output_drives_something() -> None:
    said = only(LEVER.partition('[[pedal.clutch.train]]\npart = "cable"')[0])
    assert said.startswith("brake.toml:10: output: nothing stands behind it")


def test_a_side_needs_its_rod() -> None:
    text = LEVER.replace(
        "input = [180, 600]",
        'input = { from = "own pivot", reach = 40, side = "above" }',
    )
    assert "Write rod = 146 (hole to hole)" in only(text)
    load_text(text.replace("output", "rod = 90\noutput"))


def test_names_of_parts_differ() -> None:
    text = LEVER.replace('part = "lever"', 'part = "lever"\nname = "a"')
    text = text.replace('part = "cable"', 'part = "cable"\nname = "a"')
    assert '"a" is also the name on line 8' in only(text)


def test_the_table_of_a_cable() -> None:
    start = FREE.replace('slack = "1 to 2"', 'slak = "1 to 2"')
    assert "slak: is not a key that is known here. Nearest: slack." in only(start)
    start = FREE.replace("cable = { ferrule = [-150, 420], slack", "cable = { slack")
    assert "ferrule" in only(start)


# ------------------------------------------------------------- points from points


def test_an_unknown_name_lists_the_known_ones() -> None:
    text = FREE.replace('clevis = [106, "590 to 610"]', 'clevis = "hole"')
    assert only(text) == (
        'brake.toml:56: clevis: there is no point "hole" here. Known: pivot, pad, clevis, '
        "crank.pivot, crank.input, crank.output, train.2.ferrule, shaft, "
        "brake.pivot, brake.pad, brake.clevis, brake.lower, brake.upper, "
        "brake.main.seat, brake.main.face, throttle.pivot, throttle.pad, "
        "throttle.clevis, throttle.train.1.pivot, throttle.train.1.cable.ferrule."
    )


def test_circles_of_reference() -> None:
    text = BRAKE.replace("[120, 545]", '{ from = "clevis", up = 60 }')
    text = text.replace("[106, 484.5]", '{ from = "pivot", down = 60 }')
    said = only(text)
    assert "is counted from itself" in said
    assert "brake.pivot -> brake.clevis -> brake.pivot" in said or (
        "brake.clevis -> brake.pivot -> brake.clevis" in said
    )


def test_two_circles_are_two_faults() -> None:
    ring = 'a = "b"\nb = "a"\nc = { from = "c", up = 3 }\n'
    assert len(faults(BRAKE + "[point]\n" + ring)) == 2


def test_a_rod_makes_its_input_count_from_the_driving_hole() -> None:
    text = LEVER.replace(
        "clevis = [106, 600]", 'clevis = { from = "train.1.input", back = 9 }'
    )
    load_text(text)
    assert "counted from itself" in only(text.replace("output", "rod = 90\noutput"))


def test_a_seat_that_follows_can_be_counted_from() -> None:
    text = BRAKE.replace("seat = [233, 487]", "face = [222, 487]\ndepth = 11")
    text = text.replace("[106, 484.5]", '{ from = "train.1.seat", back = 127 }')
    clevis = Places(load_text(text)).point("brake.clevis")
    assert clevis == 222 + 11 - 127 + 487j


def test_a_chain_without_end() -> None:
    chain = "".join(f'p{i} = {{ from = "p{i + 1}", up = 1 }}\n' for i in range(80))
    said = only(BRAKE + "[point]\n" + chain + "p80 = [0, 0]\n")
    assert "60 times" in said


# -------------------------------------------------------------------------- files


def refused(path: Path) -> str:
    with pytest.raises(DesignError) as refusal:
        load(path)
    (fault,) = refusal.value.faults
    assert fault.file == str(path)
    return str(fault)


def test_files_that_are_none(tmp_path: Path) -> None:
    (tmp_path / "brake.toml").write_text(BRAKE)
    assert "Nearest: brake.toml." in refused(tmp_path / "brak.toml")
    assert "is a folder" in refused(tmp_path)
    assert "there is no such file" in refused(tmp_path / "no" / "such.toml")
    assert "cannot be read" in refused(Path("a\0b"))


def test_files_that_are_no_text(tmp_path: Path) -> None:
    path = tmp_path / "x.toml"
    path.write_bytes(bytes(range(256)) * 20)
    assert "is not text." in refused(path)
    path.write_bytes(b"a = 1\nb = '\xe9'\n")
    assert f"{path}:2: is not text in UTF-8." in refused(path)


def test_a_huge_file_is_refused_before_it_is_read(tmp_path: Path) -> None:
    path = tmp_path / "huge.toml"
    with path.open("wb") as file:
        file.truncate(50_000_000)
    assert "is larger than 1 MB." in refused(path)
    assert "is larger than 1 MB." in only("# " + "x" * 1_000_000)


def test_what_the_look_misses_the_reader_still_says(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("linkage.design.lines._Lines.walk", lambda _: None)
    said = only("a = 1\na = 2\n")
    assert "cannot be read as TOML: cannot overwrite a value." in said
    assert "brake.toml:2: " in only("a = 1\nb = ?\n")


@pytest.mark.parametrize("key", ["pivot", "pad", "clevis"])
def test_what_hangs_on_a_missing_point_is_not_told_as_well(key: str) -> None:
    """One slip, one line: references to the point and the bore of its hole are not."""
    text = BRAKE.replace("clevis = [106, 484.5]", HANGING) + BORED
    assert only("\n".join(_without(text, key))).endswith(
        f"pedal.brake: {key} is missing. Write {RIGHT[key]}"
    )


HANGING = 'clevis = { line = ["pivot", "pad"], along = 56.2, ahead = 7.8 }'
BORED = "[pedal.brake.arm]\nbores = { pivot = 25, clevis = 8 }\n"
RIGHT = {
    "pivot": "pivot = [120, 545], say.",
    "pad": "pad = [35, 255], say.",
    "clevis": "clevis = [106, 484.5]: the hole that drives the train.",
}


def _without(text: str, key: str) -> list[str]:
    return [line for line in text.splitlines() if not line.startswith(key)]


def test_what_hangs_on_a_missing_pivot_of_a_lever_is_not_told_as_well() -> None:
    text = LEVER.replace(
        "input = [180, 600]", 'input = { from = "own pivot", up = 50 }'
    ).replace("pivot = [180, 550]\n", "")
    assert "train 1: pivot is missing" in only(text)


def test_what_hangs_on_a_point_that_cannot_be_read_is_not_told_as_well() -> None:
    text = BRAKE.replace("[120, 545]  ", "[120, true]") + BORED
    assert only(text).startswith("brake.toml:5: pivot: true ")


def test_a_name_that_nobody_gave_is_told_all_the_same() -> None:
    text = BRAKE.replace("clevis = [106, 484.5]", 'clevis = "pviot"')
    assert 'Nearest: "pivot".' in only(text)


def test_a_bore_of_no_hole_is_told_all_the_same() -> None:
    text = BRAKE + BORED.replace("clevis", "clevi")
    assert only(text).endswith(
        'there is no hole "clevi" in this arm. Known: pivot, clevis.'
    )


def test_a_cylinder_without_its_face_is_one_fault() -> None:
    text = BRAKE.replace("seat = [233, 487]", "depth = 11")
    assert "nothing says where the cylinder is" in only(text)


def test_a_pedal_misspelt_in_a_heading_below_it_is_one_fault() -> None:
    text = BRAKE.replace("[[pedal.brake.train]]", "[[pedal.break.train]]")
    assert only(text).endswith(
        'pedal.break: there is no pedal "break" in this file. Nearest: brake.'
    )


def test_a_missing_point_is_asked_for_in_the_style_of_the_file() -> None:
    text = """[pedal.brake]
pivot = { back = 118, up = 546 }
travel = 120
"""
    assert only(text).endswith("Write pad = { back = 245, up = 262 }, say.")


def test_a_decimal_comma_between_braces() -> None:
    text = BRAKE.replace("[120, 545]", "{ back = 245,5, up = 262 }")
    assert 'A decimal has a point: "245.5".' in only(text)


def test_eight_is_said_with_an() -> None:
    text = BRAKE.replace('"3/4 in"', "8").replace('"mm"', '"in"')
    assert any("8 would be an 8 in bore" in line for line in faults(text))


def test_no_thickness_is_less_than_nothing() -> None:
    text = """[pedal.brake]
pivot = [120, 545]
pad = { back = 35, up = 255, thick = 1000 }
travel = 120
"""
    assert "the thickness of the pad. It may be 0 to 100 mm." in only(text)


def test_a_file_of_another_kind_is_one_fault() -> None:
    assert only("  0\nSECTION\n  2\nHEADER\n" * 100).endswith(
        "this is no design file. Name a design file (TOML)."
    )


def test_a_design_with_many_slips_is_told_them_all() -> None:
    assert len(faults(BRAKE + "what\n" * 30)) == 30


def test_millimetres_in_a_file_of_inches_are_told_first() -> None:
    said = faults(BRAKE.replace('units = "mm"', 'units = "in"'))
    assert said[0].startswith("brake.toml:2: units: ")
    assert said[0].endswith('Are these mm? Write units = "mm".')


def test_one_number_astray_says_nothing_of_the_units() -> None:
    text = """units = "in"
[pedal.brake]
pivot = [5, 20]
pad = [1.5, 10]
travel = 120
"""
    assert only(text).startswith("brake.toml:5: travel: ")


@pytest.mark.parametrize("back", [1e-7, 1e-3, 1.0])
def test_a_rod_square_to_its_axis_is_told_without_a_figure_of_its_way(
    back: float,
) -> None:
    """However near to square, no sentence gives miles of travel."""
    text = BRAKE.replace("[233, 487]", f"[{106 + back:.9f}, 600]")
    with pytest.raises(DesignError) as refusal:
        standing(load_text(text), "brake")
    (fault,) = refusal.value.faults
    assert "all but square to it" in fault.wrong
    assert "AWAY" not in fault.wrong
