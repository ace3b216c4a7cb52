"""What the page draws agrees with the command line, and with the motion itself."""

import cmath
import json
import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner

from linkage.commands import footwell
from linkage.last_word import ARC
from linkage.page.document import Document, read
from linkage.page.frames import PLACES
from linkage.page.view import preview, state
from linkage.sweeping import sweep
from tests.linkage.page.cases import EXAMPLES

FILES = sorted(EXAMPLES.glob("*.toml"))
THREE = EXAMPLES / "three-on-one-shaft.toml"
#: Decimals of mm that are sent, and what two rounded ends make of a length.
NEAR = 3e-4

Row = dict[str, Any]


def opened(file: Path) -> Document:
    return read(file.read_text(), file.name)


def shown(file: Path, units: Any = None) -> Row:
    found = state(opened(file), units=units, door="right")
    assert found is not None
    return found


def foreseen(document: Document, moved: dict[str, float], **how: Any) -> Row:
    """Return a preview with what is told behind it laid over what is drawn."""
    found = preview(document, moved, **{"units": None, "door": "right", **how})
    told = found.told()
    tables = {row["name"]: row for row in told.pop("pedals")}
    pedals = [{**row, **tables[row["name"]]} for row in found.drawn["pedals"]]
    return {**found.drawn, **told, "pedals": pedals}


def named(rows: list[Row], name: str, key: str = "name") -> Row:
    return next(row for row in rows if row[key] == name)


def words(text: str) -> str:
    return " ".join(text.split())


@pytest.fixture(params=FILES, ids=lambda file: file.stem)
def file(request: pytest.FixtureRequest) -> Path:
    path: Path = request.param
    return path


# ------------------------------------------------------- against the command line


def printed(file: Path, pedal: str, tmp_path: Path) -> list[str]:
    path = tmp_path / file.name
    path.write_text(file.read_text())
    out = CliRunner().invoke(footwell, ["sweep", str(path), "--pedal", pedal])
    return out.stdout.splitlines()


#: Heads the command's clearance table.
NEAREST = "Nearest on the way"


def test_rows_and_sentences_are_those_of_the_command(
    file: Path, tmp_path: Path
) -> None:
    """To the last digit: each row of its table, and every sentence below it."""
    agree(file, tmp_path)


def test_they_agree_up_to_a_limit_too(tmp_path: Path) -> None:
    file = tmp_path / "limited.toml"
    file.write_text(LIMITED.format(travel=520, seat="seat = [150, 470]"))
    agree(file, tmp_path / "copy")


def agree(file: Path, folder: Path) -> None:
    folder.mkdir(exist_ok=True)
    for pedal in shown(file)["pedals"]:
        lines = printed(file, pedal["name"], folder)
        if NEAREST in " ".join(lines):  # the page draws the least gap instead
            lines = lines[: next(n for n, line in enumerate(lines) if NEAREST in line)]
        rule = next(n for n, line in enumerate(lines) if set(line.strip()) == {"-"})
        body = lines[rule + 1 :]
        body = body[: body.index("")]
        table = pedal["round"]
        rows = [*zip(*table["rows"], table["notes"], strict=True)]
        assert [words(" ".join(row)) for row in rows] == [words(x) for x in body]
        said = [f"{name} {text}" for name, text in pedal["sentences"]]
        told = words(" ".join(lines[rule + len(body) + 1 :]))
        mind = words(f"Mind {ARC}")  # the page has its caution at its foot
        assert told.removesuffix(mind).strip() == words(" ".join(said))


def test_a_place_that_is_asked_for_reads_as_the_command_line_says(
    file: Path, tmp_path: Path
) -> None:
    """Every cell of ``sweep --at``, in a state and in a preview that moves nothing."""
    document, path = opened(file), tmp_path / file.name
    assert document.opened is not None
    path.write_text(file.read_text())
    for pedal in shown(file)["pedals"]:
        name, at = pedal["name"], round(0.41234 * pedal["upto"], 3)
        asked = ["sweep", str(path), "--pedal", name, "--at", str(at)]
        lines = CliRunner().invoke(footwell, asked).stdout.splitlines()
        (rule,) = (n for n, line in enumerate(lines) if set(line.strip()) == {"-"})
        still = document.opened.values[f"{name}.travel"]
        how: Any = {"units": None, "door": "right", "also": {name: at}}
        for found in (
            state(document, **how),
            foreseen(document, {still.path: still.nominal}, **how),
        ):
            assert found is not None
            row = named(found["pedals"], name)
            assert len(row["at"]) == PLACES + 1
            k = row["at"].index(at)
            cells = [texts[k] for texts in row["table"]["rows"]]
            assert words(lines[rule + 1]) == words(" ".join(cells))


def test_the_table_at_all_places_says_the_columns(file: Path) -> None:
    """Through the columns of ``sweep --json``: the very numbers, rounded for people."""
    document = opened(file)
    assert document.design is not None
    for pedal in shown(file, "mm")["pedals"]:
        swept = sweep(document.design, pedal["name"], positions=PLACES)
        for key, texts in zip(
            pedal["table"]["keys"], pedal["table"]["rows"], strict=True
        ):
            if key in ("travel", "ratio", "stroke", "cable_pull"):
                gaps = [
                    abs(float(text) - number)
                    for text, number in zip(texts, swept[key].tolist(), strict=True)
                    if text != "-"
                ]
                assert max(gaps) <= 0.0501


def test_a_curve_is_its_column_and_its_words_the_tables(file: Path) -> None:
    document = opened(file)
    assert document.design is not None
    found = shown(file, "mm")
    for panel in found["panels"]:
        low, high = panel["span"]
        for each in panel["series"]:
            pedal = named(found["pedals"], each["pedal"])
            swept = sweep(document.design, each["pedal"], positions=PLACES)
            values = np.array(each["values"], float)
            np.testing.assert_allclose(
                values, swept[panel["id"]], atol=2e-4 * (high - low), equal_nan=True
            )
            if panel["id"] in pedal["table"]["keys"]:
                assert each["said"] is None
            else:
                told = [float(x.split()[0]) if x else np.nan for x in each["said"]]
                np.testing.assert_allclose(told, swept[panel["id"]], atol=0.51)
            good = values[np.isfinite(values)]
            assert low < good.min()
            assert good.max() < high


def test_inches_are_told_as_an_inch_file_tells_them() -> None:
    file = EXAMPLES / "brake-inches.toml"
    own, forced = shown(file), shown(file, "in")
    assert own == forced
    metric = shown(file, "mm")
    stroke = [named(each["panels"], "stroke", "id") for each in (own, metric)]
    assert [panel["unit"] for panel in stroke] == ["in", "mm"]
    ends = [panel["series"][0]["values"][-1] for panel in stroke]
    assert ends[0] * 25.4 == pytest.approx(ends[1], abs=1e-3)
    assert own["pedals"][0]["links"] == metric["pedals"][0]["links"]


@pytest.mark.parametrize("name", ["brake-to-place", "clutch-cable"])
def test_places_of_the_travel_stay_in_mm_in_both_units(name: str) -> None:
    """Bands and spots lie over the places of ``at``; only values change the unit."""
    both = [shown(EXAMPLES / f"{name}.toml", units) for units in ("mm", "in")]
    seen = 0
    for one, other in zip(*(each["panels"] for each in both), strict=True):
        for key, ends in (("bands", ("from", "to")), ("spots", ("travel",))):
            rows = zip(one[key], other[key], strict=True)
            for a, b in rows:
                assert [a[k] for k in ends] == pytest.approx([b[k] for k in ends])
                seen += 1
    assert seen


# ------------------------------------------------------------- against the motion


def test_everything_is_plain_json_without_holes(file: Path) -> None:
    for units in ("mm", "in"):
        text = json.dumps(shown(file, units), allow_nan=False)
        assert json.loads(text)["pedals"]


def place(pair: list[float]) -> complex:
    return complex(*pair)


def test_rods_keep_their_length_and_bodies_carry_their_ends(file: Path) -> None:
    """Each rod from end to end, and its driving end turned with the body it sits on."""
    for pedal in shown(file)["pedals"]:
        bodies = {body["id"]: body for body in pedal["bodies"]}
        for link in pedal["links"]:
            starts, ends = ([place(p) for p in link[key]] for key in ("a", "b"))
            if link["kind"] == "rod":
                gaps = [abs(b - a) for a, b in zip(starts, ends, strict=True)]
                assert np.ptp(gaps) < NEAR
            number = int(link["id"].split(".")[1])
            driver = "arm" if number == 1 else f"train.{number - 1}"
            if not link["id"].endswith(".far"):
                assert turned(bodies[driver], starts[0]) == pytest.approx(
                    starts, abs=NEAR
                )
        pad = [place(p) for p in pedal["pad"]["path"]]
        assert turned(bodies["arm"], pad[0]) == pytest.approx(pad, abs=1e-3)


def turned(body: Row, start: complex) -> list[complex]:
    """Carry a point with a body, by the turns that the page is sent."""
    pivot = place(body["pivot"])
    turns = [cmath.exp(1j * math.radians(turn)) for turn in body["turn"]]
    return [pivot + (start - pivot) * turn for turn in turns]


def test_the_pad_goes_its_travel_along_its_arc(file: Path) -> None:
    for pedal in shown(file)["pedals"]:
        pivot = place(named(pedal["bodies"], "arm", "id")["pivot"])
        ends = [place(pedal["pad"]["path"][k]) - pivot for k in (0, -1)]
        arc = abs(cmath.phase(ends[1] / ends[0])) * abs(ends[0])
        assert arc == pytest.approx(pedal["upto"], abs=1e-3)
        assert len(pedal["at"]) == PLACES
        assert pedal["upto"] == pytest.approx(pedal["travel"])


def test_a_piston_waits_for_its_gap() -> None:
    """It stands still until the rod has closed the gap, then goes with the rod's end."""
    pedal = named(shown(THREE)["pedals"], "brake")
    piston = np.array(pedal["cylinders"][0]["piston"])[:, 0]
    rod = np.array(pedal["links"][0]["b"])[:, 0]
    gap = np.maximum(0.5, rod - rod[0]) + rod[0]
    np.testing.assert_allclose(piston, gap, atol=NEAR)


def test_far_ends_stand_clear_of_the_car() -> None:
    found = shown(EXAMPLES / "throttle-lever.toml")
    car, far = found["frames"]
    assert car["offset"] == [0.0, 0.0]
    assert far["title"] == "far end of the throttle cable"
    left = [
        x + far["offset"][0]
        for body in found["pedals"][0]["bodies"]
        if body["frame"] == far["id"]
        for x, _, _ in body["pins"]
    ]
    right = [
        link[end][k][0]
        for link in found["pedals"][0]["links"]
        if link["frame"] == 0
        for end in ("a", "b")
        for k in (0, -1)
    ]
    assert min(left) > max(right)


# -------------------------------------------------------------------- what is wrong

LIMITED = """
[pedal.brake]
pivot = [120, 545]
pad = [35, 255]
clevis = [106, 484.5]
travel = {travel}
[[pedal.brake.train]]
part = "cylinder"
{seat}
axis = "forward"
stroke = 20
"""


def test_a_pedal_with_a_limit_is_drawn_up_to_it() -> None:
    text = LIMITED.format(travel=520, seat="seat = [150, 470]")
    found = state(read(text, "x.toml"), units=None, door="right")
    assert found is not None
    (pedal,) = found["pedals"]
    assert pedal["upto"] < pedal["travel"] == 520
    assert len(pedal["at"]) == PLACES
    assert None not in pedal["pad"]["path"] + pedal["links"][0]["b"]
    (limit,) = [mark for mark in pedal["marks"] if mark["kind"] == "limit"]
    assert limit["travel"] == pytest.approx(pedal["upto"], abs=1e-3)
    assert "LIMIT" in [name for name, _ in pedal["sentences"]]
    ratio = named(found["panels"], "ratio", "id")
    values = ratio["series"][0]["values"]
    assert values[-2] < ratio["span"][1] < 2.0 * values[-2] < values[-1]


@pytest.mark.parametrize(
    ("seat", "said"),
    [
        ("seat = [-20, 487]", "behind its hole"),
        ("on = [233, 400]\nrod = 60", "cannot be put together"),
    ],
)
def test_a_pedal_that_cannot_work_is_still_drawn(seat: str, said: str) -> None:
    text = LIMITED.format(travel=120, seat=seat)
    found = state(read(text, "x.toml"), units=None, door="right")
    assert found is not None
    json.dumps(found, allow_nan=False)
    (pedal,) = found["pedals"]
    assert pedal["at"] == [0.0]
    assert [len(body["turn"]) for body in pedal["bodies"]] == [1]
    assert pedal["bodies"][0]["path"].startswith("M")
    assert said in " ".join(text for _, text in pedal["sentences"])
    assert {"brake.pivot", "brake.pad", "brake.clevis"} <= {
        each["id"] for each in found["points"]
    }


def test_a_file_with_faults_has_nothing_to_draw() -> None:
    document = read("pedal = 3", "x.toml")
    assert state(document, units=None, door="right") is None
    found = preview(document, {}, units=None, door="right")
    assert found.drawn["pedals"] == found.told()["pedals"] == []


# ------------------------------------------------------------------------- previews


@pytest.mark.parametrize(
    ("old", "new", "path", "number"),
    [
        ("up = 497.5 }", "up = 500 }", "brake.train.1.face.up", 500.0),
        ("back = 118, up", "back = 121.5, up", "point.shaft.back", 121.5),
        ("slack = 1 ", "slack = 3 ", "throttle.train.1.cable.slack", 3.0),
        ("floor = 0", "floor = 12", "footwell.floor", 12.0),
    ],
)
def test_a_preview_is_what_the_changed_file_would_show(
    old: str, new: str, path: str, number: float
) -> None:
    before, text = opened(THREE), THREE.read_text()
    assert text.count(old) == 1
    stood = state(before, units=None, door="right")
    assert stood is not None
    found = foreseen(before, {path: number})
    after = state(read(text.replace(old, new), "x.toml"), units=None, door="right")
    assert after is not None
    assert found["pedals"]
    for pedal in found["pedals"]:
        whole = named(after["pedals"], pedal["name"])
        for key in ("at", "links", "cylinders", "pad", "ticks", "marks", "table"):
            assert pedal[key] == whole[key]
        turns = [[body["turn"] for body in each["bodies"]] for each in (pedal, whole)]
        assert turns[0] == turns[1]
    assert found["panels"] == after["panels"]
    assert found["lengths"] == after["lengths"]
    moved = {each["id"]: each for each in found["points"]}
    laid = [moved.get(each["id"], each)["at"] for each in stood["points"]]
    assert laid == [each["at"] for each in after["points"]]
    assert len(moved) < len(laid)


def test_a_preview_carries_only_what_moves() -> None:
    document = opened(THREE)
    state(document, units=None, door="right")
    moved = {"brake.train.1.face.up": 500.0}
    found = foreseen(document, moved)
    assert [pedal["name"] for pedal in found["pedals"]] == ["brake"]
    assert "sentences" not in found["pedals"][0]
    assert [each["pedal"] for each in found["panels"][0]["series"]] == [
        *("clutch", "brake", "throttle")
    ]


def test_tables_and_curves_are_told_behind_what_is_drawn() -> None:
    """They are not waited for, and the pedals that stay keep theirs."""
    document, moved = opened(THREE), {"brake.train.1.face.up": 500.0}
    stood = state(document, units=None, door="right")
    assert stood is not None
    found = preview(document, moved, units=None, door="right")
    assert found.drawn.keys().isdisjoint(("panels", "travel"))
    assert all("table" not in pedal for pedal in found.drawn["pedals"])
    told = found.told()
    (table,) = (pedal["table"] for pedal in told["pedals"])
    was, now = (
        {each["pedal"]: each["values"] for each in panels[0]["series"]}
        for panels in (stood["panels"], told["panels"])
    )
    assert table["rows"] != named(stood["pedals"], "brake")["table"]["rows"]
    assert [name for name in was if was[name] != now[name]] == ["brake"]


def test_a_preview_leaves_the_state_as_it_was() -> None:
    document = opened(THREE)
    first = json.dumps(state(document, units=None, door="right"))
    preview(document, {"point.shaft.back": 131.0}, units=None, door="right")
    assert json.dumps(state(document, units=None, door="right")) == first


# -------------------------------------------------------------------------- targets


def test_targets_stand_as_spelt_and_say_what_they_got() -> None:
    pedal = shown(EXAMPLES / "brake-to-place.toml")["pedals"][0]
    first, *_, last = pedal["targets"]
    assert first["keys"] == {
        "of": "ratio",
        "at": "60 mm",
        "is": "5.5",
        "within": "0.05",
    }
    assert last["keys"] == {"of": "rod angle", "at": "0 to 110 mm", "most": "1.5"}
    swept = sweep(
        opened(EXAMPLES / "brake-to-place.toml").design,  # type: ignore[arg-type]
        "brake",
        at=[60.0],
    )
    assert float(first["got"]) == pytest.approx(float(swept["ratio"][0]), abs=6e-4)
    assert first["met"] is (abs(float(swept["ratio"][0]) - 5.5) <= 0.05)


def test_a_target_that_a_train_cannot_have_says_why() -> None:
    text = LIMITED.format(travel=120, seat="seat = [233, 487]")
    text += '[[pedal.brake.target]]\nof = "lever turn"\nat = "full"\nleast = 5\n'
    found = state(read(text, "x.toml"), units=None, door="right")
    assert found is not None
    (target,) = found["pedals"][0]["targets"]
    assert target["met"] is None
    assert "no lever" in target["why"]
