"""Whatever stands in a file, it is read or refused in words: nothing else happens."""

import contextlib
import random
import time

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from linkage.design.friction import KEYS as FRICTION_KEYS
from linkage.design.known import FIXED, SHOE
from linkage.design.records import Design
from linkage.design.springs import KEYS as SPRING_KEYS
from linkage.faults import DesignError
from linkage.loading import load_text
from linkage.parts import KINDS
from tests.cases_count import many
from tests.linkage.design.samples import BRAKE, FREE

FEW = settings(max_examples=many(4000), derandomize=True, deadline=None)


def read(text: str) -> Design | None:
    """Read or refuse a text; a refusal says something, and where."""
    try:
        design = load_text(text, "x.toml")
    except DesignError as refusal:
        judge(refusal, text)
        return None
    assert isinstance(design, Design)
    return design


def judge(refusal: DesignError, text: str) -> None:
    assert refusal.faults
    for fault in refusal.faults:
        assert fault.file == "x.toml"
        assert fault.wrong
        assert fault.right
        assert "Known: ." not in fault.right
        assert 0 <= fault.line <= text.count("\n") + text.count("\r") + 1
        assert "None" not in str(fault) or "None" in text
        assert len(str(fault).splitlines()) == 1
        assert len(str(fault)) < 1500


@FEW
@given(st.text(max_size=200))
@example("\ufeff")
@example("\0")
@example("\x85")
@example("a = \u3000")
@example("a = {\u2028}")
@example("a = [\u3000]")
@example("[\u3000]")
@example("a = [1 \u3000 2]")
@example("\u3000=\u3000")
@example("a\u3000:")
@example('a = "\\u0000"')
@example("[pedal]")
@example("pedal = 5")
@example("[pedal]\nbrake = 3")
@example("[[pedal]]")
@example("[pedal.brake]\n[[pedal.brake.train]]\n[[pedal.brake.train.front]]")
@example("[pedal.brake]\ntrain = []\ntarget = 5")
@example("pedal = { brake = { pivot = [1, 2], pad = [3, 4], travel = 50 } }")
def test_any_text(text: str) -> None:
    read(text)


KEYS = [
    *("pivot", "pad", "clevis", "travel", "full", "holes", "across", "locked", "press"),
    *("duty", "arm", "part", "seat", "axis", "bore", "input", "output", "rod", "cable"),
    *(
        "name",
        "of",
        "at",
        "is",
        "least",
        "between",
        "which",
        "format",
        "units",
        "one_of",
    ),
    *("kind", "rate", "preload", "fixed", "on_arm", "hip", "spring", "friction"),
    *("polygon", "arc", "circle", "outline", "thick", "heel", "shoe", "wide", "lean"),
    *("pivot.back", "holes.lower", "cable.slack", "from", "reach", "marks", '"q r"'),
]
SCRAPS = [
    *("1", "-5", "1.5", "nan", "-inf", "1e400", "true", '""', '"pivot"', '"own pivot"'),
    *('"5 to 12"', '"5 to 4"', '"about 3"', '"3 +- 1"', '"down, 5 to 12 deg back"'),
    *("[]", "[1, 2]", "[1, 2, 3]", '["pad", "pivot"]', "[[1, 2], [3, 4]]", "[{}]"),
    *("{}", "{ back = 1 }", '{ one_of = ["a", "b"] }', "{ one_of = [1, 2] }"),
    *('{ from = "pad", up = 3 }', '{ line = ["pad", "pivot"], along = 3 }'),
    *('{ from = "pivot", reach = 5, angle = 3 }', '"cylinder"', '"lever"', '"cable"'),
    *('{ from = "own pivot", reach = 5, side = "above" }', '"stroke"', '"distance"'),
    *("{ back = 1, up = 2, diameter = 3 }", "[[1, 2], [3, 4], [5, 7]]", '"a.dxf"'),
    *("3/4 in", ".5", "“x”", "9" * 5000, '"' + "x" * 500 + '"', "{ ferrule = [1, 2] }"),
]
HEADINGS = [
    *("[pedal.brake]", "[[pedal.brake.train]]", "[[pedal.brake.target]]", "[point]"),
    *("[pedal.clutch]", "[footwell]", "[pedal.brake.arm]", "[pedal.brake.holes]"),
    *("[pedal.brake.pivot]", "[pedal.brake.train]", "[[pedal.brake]]", "[other]"),
    *("[pedal.brake.spring]", "[[pedal.brake.spring]]", "[pedal.brake.friction]"),
    *("[driver]", "[[footwell.fixed]]", "[footwell.fixed]", "[driver.shoe]"),
]
LINES = st.one_of(
    st.tuples(st.sampled_from(KEYS), st.sampled_from(SCRAPS)).map(" = ".join),
    st.sampled_from(HEADINGS),
)


@FEW
@given(st.lists(LINES, max_size=14).map("\n".join))
def test_any_lines_of_the_grammar(text: str) -> None:
    read(text)


@FEW
@given(
    st.sampled_from([BRAKE, FREE]),
    st.lists(
        st.tuples(
            st.floats(0, 1), st.integers(0, 12), st.one_of(st.text(max_size=4), LINES)
        ),
        min_size=1,
        max_size=3,
    ),
)
def test_any_slip_in_a_good_file(
    text: str, slips: list[tuple[float, int, str]]
) -> None:
    for share, length, put in slips:
        start = int(share * len(text))
        text = text[:start] + put + text[start + length :]
    read(text)


def test_lines_out_of_order() -> None:
    """Lines swapped, doubled and dropped, as an editor does it."""
    dice = random.Random(20)  # noqa: S311 - no secret
    for _ in range(many(2000)):
        lines = dice.choice([BRAKE, FREE]).splitlines()
        for _ in range(dice.randint(1, 4)):
            here, there = (dice.randrange(len(lines)) for _ in range(2))
            if dice.random() < 0.4:
                lines[here], lines[there] = lines[there], lines[here]
            elif dice.random() < 0.5:
                lines.insert(there, lines[here])
            else:
                del lines[here]
        read("\n".join(lines))


@pytest.mark.parametrize("kind", list(KINDS))
@pytest.mark.parametrize("scrap", SCRAPS)
def test_every_key_of_every_part_with_anything(kind: str, scrap: str) -> None:
    head, _, _ = BRAKE.partition("[[pedal.brake.train]]")
    for key in KINDS[kind].KEYS:
        read(f'{head}[[pedal.brake.train]]\npart = "{kind}"\n{key.name} = {scrap}\n')


@pytest.mark.parametrize("scrap", [*SCRAPS, '"2 N"', '"2 N/mm"', '"extension"'])
def test_every_key_of_springs_friction_and_driver_with_anything(scrap: str) -> None:
    for kind, keys in SPRING_KEYS.items():
        for key in keys:
            read(
                f'{BRAKE}[pedal.brake.spring]\nkind = "{kind}"\n{key.name} = {scrap}\n'
            )
    for key in FRICTION_KEYS:
        read(f"{BRAKE}[pedal.brake.friction]\n{key.name} = {scrap}\n")
    for line in (f"spring = {scrap}", f"friction = {scrap}", f"spring = [{scrap}]"):
        read(BRAKE.replace("travel", f"{line}\ntravel", 1))
    read(f"{BRAKE}[driver]\nhip = {scrap}\n")


@pytest.mark.parametrize("scrap", SCRAPS)
def test_every_key_of_the_footwell_with_anything(scrap: str) -> None:
    for key in FIXED:
        line = "" if key == "line" else "line = [[1, 2], [3, 4]]\n"
        name = "" if key == "name" else 'name = "x"\n'
        read(f"{BRAKE}[[footwell.fixed]]\n{name}{line}{key} = {scrap}\n")
        read(f"{BRAKE}[[footwell.fixed]]\n{name}{key} = {scrap}\n")
    read(f"{BRAKE}[footwell]\nfixed = {scrap}\n")
    for key in SHOE:
        read(f"{BRAKE}[driver]\nshoe = {{ {key} = {scrap} }}\n")
    for word in ("wide", "high", "lean"):
        read(BRAKE.replace("[35, 255]", f"{{ back = 3, {word} = {scrap} }}"))


@pytest.mark.parametrize(
    "text",
    [
        "a = " + "[" * 100_000,
        "a = " + "{a=" * 100_000,
        "a = " + "[" * 5_000 + "]" * 5_000,
        "." * 100_000,
        "a" + ".a" * 100_000 + " = 1",
        "[" + "a." * 100_000 + "a]",
        "x = { a" + ".a" * 100_000 + " = 1 }",
        '"' * 100_000,
        "a = " + "9" * 900_000,
        "a = 0." + "9" * 900_000,
        "a = [\n" * 50_000,
        "a = [\n" + "1,\n" * 200_000,
        'a = """\n' * 50_000,
        "".join(f"k{i} = {i}\n" for i in range(10_000)),
        "a = 1\n" * 10_000,
        "[a]\nb = 1\n" * 10_000,
        BRAKE
        + "[pedal.brake.holes]\n"
        + "".join(f"h{i} = 'x'\n" for i in range(10_000)),
        BRAKE + "[point]\n" + "".join(f"p{i} = 'p{i + 1}'\n" for i in range(5_000)),
        BRAKE + "[point]\n" + "".join(f"p{i} = [{i}, 0]\n" for i in range(10_000)),
        BRAKE + '[[pedal.brake.train]]\npart = "lever"\n' * 5_000,
        BRAKE + '[[pedal.brake.target]]\nof = "ratoi"\n' * 5_000,
        f"{BRAKE}[[footwell.fixed]]\nname = 'x'\npolygon = ["
        + ", ".join(f"[{i}, {i * i}]" for i in range(20_000))
        + "]",
        "x = { " + ", ".join(f"k{i} = {i}" for i in range(20_000)) + " }",
    ],
    ids=range(23),
)
def test_large_and_deep_files_end_soon(text: str) -> None:
    """Seconds here are far above what a good machine needs: a guard, not a measure."""
    start = time.perf_counter()
    with contextlib.suppress(DesignError):
        load_text(text)
    assert time.perf_counter() - start < 20.0
