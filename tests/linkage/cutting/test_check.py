"""The cut check: passes what is right, and refuses each broken file for its reason."""

import re
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from export.dxf import FORMS, UNITS, CutDrawing, Form, Unit, dxf_bytes
from linkage.cutting.check import RULES, WHOLE, check_cut
from linkage.cutting.meant import Meant
from solvers.plane.belt import belt
from solvers.plane.measure import extents
from solvers.plane.pieces import Contour, circle, contour_of, points_of

ARM = belt([25, 300 + 20j, 85 + 45j], [25, 14, 16]) + [0, 25, 0]
HOLES = np.array([[25.0, 25.0, 12.3], [85.0, 70.0, 4.2]])
CROSSES = np.array([[300.0, 45.0]])


def drawing(contour: Contour = ARM, **change: object) -> CutDrawing:
    low, high = extents(contour)
    whole = CutDrawing(
        contours=[contour],
        circles=HOLES,
        crosses=np.insert(CROSSES, 2, 1.5, axis=1),
        box=(low.real, low.imag, high.real, high.imag),
    )
    return replace(whole, **change)


def meant(form: Form = "r12", unit: Unit = "mm", **change: object) -> Meant:
    low, high = extents(ARM)
    bores = np.array([[25.0, 25.0, 12.5], [85.0, 70.0, 4.5], [300.0, 45.0, 3.0]])
    whole = Meant(
        form=form,
        unit=unit,
        process="laser",
        plate=8.0,
        size=high - low,
        circles=HOLES,
        bores=bores,
        crosses=CROSSES,
    )
    return replace(whole, **change)


def failed(data: bytes, want: Meant) -> dict[str, str]:
    verdicts = check_cut(data, want)
    assert [verdict.name for verdict in verdicts[1:]] == [rule.name for rule in RULES]
    return {one.name: one.sentence for one in verdicts if not one.ok}


GOOD = dxf_bytes(drawing())
R2010 = dxf_bytes(drawing(), form="r2010")
LOOSE = dxf_bytes(drawing(), form="pieces")


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("unit", UNITS)
def test_a_sound_file_passes_every_rule(form: Form, unit: Unit) -> None:
    data = dxf_bytes(drawing(), form=form, unit=unit)
    assert failed(data, meant(form, unit)) == {}
    assert len(check_cut(data, meant(form, unit))) == 1 + len(RULES) >= 13


def text(data: bytes, old: str, new: str, count: int = 1) -> bytes:
    body = data.decode()
    assert re.search(old, body), old
    return re.sub(old, new, body, count=count).encode()


def entity(data: bytes, *tags: tuple[int, object]) -> bytes:
    """Add one entity at the end of a file."""
    added = "".join(f"{code:>3}\n{value}\n" for code, value in tags)
    head, end, tail = data.decode().rpartition("  0\nENDSEC\n")
    return f"{head}{added}{end}{tail}".encode()


def ring(x: float, z: float, r: float, layer: str = "cut") -> list[tuple[int, object]]:
    return [(0, "CIRCLE"), (8, layer), (10, x), (20, z), (30, 0.0), (40, r)]


def stroke(x: float, z: float) -> list[tuple[int, object]]:
    ends = [(10, x - 1.5), (20, z), (11, x + 1.5), (21, z)]
    return [(0, "LINE"), (8, "mark"), *ends]


def with_contour(contour: Contour) -> bytes:
    return dxf_bytes(drawing(contour))


def kinked() -> Contour:
    rows = ARM.copy()
    rows[1, 1] -= 0.05
    return rows


def faceted() -> Contour:
    """The first arc of the outline as chords."""
    turn = np.linspace(np.pi / 2, 3 * np.pi / 2, 25)[::1]
    chords = 25 + 25j + 25 * np.exp(1j * turn)
    rest = points_of(ARM)
    rest = rest[rest.real > 60.0]
    order = np.argsort(np.angle(rest - (150 + 30j)))
    return contour_of(np.concatenate([chords, rest[order]]))


def scrap() -> Contour:
    """A straight piece with a joint 0.05 mm from its start."""
    k = int(np.flatnonzero(ARM[:, 2] == 0.0)[0])
    a, b = points_of(ARM)[[k, (k + 1) % len(ARM)]]
    near = a + 0.05 * (b - a) / abs(b - a)
    return np.insert(ARM, k + 1, [near.real, near.imag, 0.0], axis=0)


def looped() -> Contour:
    """An outline that crosses itself."""
    rows = ARM.copy()
    rows[[1, 2]] = rows[[2, 1]]
    return rows


def tight() -> Contour:
    return belt(
        [25 + 25j, 120 + 22.5j, 300 + 45j, 85 + 70j], [25, 3, 14, 16], [1, -1, 1, 1]
    )


#: From the start of the entities to the first of what follows it in a pattern.
BODY = r"(ENTITIES\n(?:.*\n)+?)"
Break = tuple[str, str, Callable[[], bytes], Meant]
BREAKS: list[Break] = [
    ("cut off", WHOLE, lambda: GOOD[:-14], meant()),
    ("no end mark", WHOLE, lambda: GOOD[: -len("  0\nEOF\n")], meant()),
    ("no drawing", WHOLE, lambda: b"%PDF-1.7\n%%EOF\n", meant()),
    ("nothing", WHOLE, lambda: b"", meant()),
    (
        "circle without radius",
        WHOLE,
        lambda: text(GOOD, r"CIRCLE\n((?:.*\n){8,12}?) 40\n.*\n", r"CIRCLE\n\1"),
        meant(),
    ),
    ("old version", "version", lambda: text(GOOD, "AC1009", "AC1006"), meant()),
    ("other form", "version", lambda: R2010, meant()),
    (
        "no unit",
        "unit",
        lambda: text(GOOD, "INSUNITS\n 70\n4", "INSUNITS\n 70\n0"),
        meant(),
    ),
    (
        "unit of metres",
        "unit",
        lambda: text(GOOD, "UNITS\n 70\n4", "UNITS\n 70\n6"),
        meant(),
    ),
    (
        "units at odds",
        "unit",
        lambda: text(GOOD, "MEASUREMENT\n 70\n1", "MEASUREMENT\n 70\n0"),
        meant(),
    ),
    (
        "text in the cut file",
        "only cuts and marks",
        lambda: entity(
            GOOD, (0, "TEXT"), (8, "cut"), (1, "8 mm"), (10, 9.0), (20, 9.0)
        ),
        meant(),
    ),
    (
        "spline",
        "only cuts and marks",
        lambda: entity(GOOD, (0, "SPLINE"), (8, "cut"), (70, 8)),
        meant(),
    ),
    (
        "another layer",
        "only cuts and marks",
        lambda: entity(GOOD, *ring(150, 40, 6, "0")),
        meant(),
    ),
    (
        "circle among the marks",
        "only cuts and marks",
        lambda: entity(GOOD, *ring(150, 40, 6, "mark")),
        meant(),
    ),
    (
        "on a sheet",
        "only cuts and marks",
        lambda: text(GOOD, r"\nCIRCLE\n", "\nCIRCLE\n 67\n1\n"),
        meant(),
    ),
    (
        "hidden in a block",
        "only cuts and marks",
        lambda: text(
            GOOD, r"\nBLOCKS\n", "\nBLOCKS\n  0\nCIRCLE\n 10\n5\n 20\n5\n 40\n2\n"
        ),
        meant(),
    ),
    (
        "a hole too few",
        "counts",
        lambda: dxf_bytes(drawing(circles=HOLES[:1])),
        meant(),
    ),
    (
        "a cross too few",
        "counts",
        lambda: dxf_bytes(drawing(crosses=np.empty((0, 3)))),
        meant(),
    ),
    (
        "out of the plane",
        "flat",
        lambda: text(GOOD, r"(CIRCLE\n(?:.*\n)+? 30\n)0.0", r"\g<1>5.0"),
        meant(),
    ),
    (
        "thick",
        "flat",
        lambda: text(R2010, BODY + r"( 90\n)", r"\1 39\n8.0\n\2"),
        meant("r2010"),
    ),
    (
        "seen from below",
        "flat",
        lambda: text(R2010, r"(AcDbCircle\n(?:.*\n){8})", r"\g<1>230\n-1.0\n"),
        meant("r2010"),
    ),
    (
        "open polyline",
        "closed",
        lambda: text(GOOD, r"(POLYLINE\n(?:.*\n)+? 70\n)1", r"\g<1>0"),
        meant(),
    ),
    (
        "gap of a thousandth",
        "closed",
        lambda: text(LOOSE, BODY + r"( 40\n25\.)0*\n", r"\g<1>\g<2>001\n"),
        meant("pieces"),
    ),
    (
        "hole outside",
        "one outline",
        lambda: dxf_bytes(drawing(circles=np.array([[25, 25, 12.3], [400, 90, 4.2]]))),
        meant(),
    ),
    (
        "hole in a hole",
        "one outline",
        lambda: entity(GOOD, *ring(25, 25, 6)),
        meant(),
    ),
    ("no outline", "one outline", lambda: dxf_bytes(drawing(contours=[])), meant()),
    ("hole twice", "no doubles", lambda: entity(GOOD, *ring(85, 70, 4.2)), meant()),
    (
        "outline twice",
        "no doubles",
        lambda: dxf_bytes(drawing(contours=[ARM, ARM])),
        meant(),
    ),
    (
        "crossing holes",
        "no crossing",
        lambda: entity(GOOD, *ring(38, 25, 9)),
        meant(),
    ),
    (
        "hole through the edge",
        "no crossing",
        lambda: entity(GOOD, *ring(150, 20, 18)),
        meant(),
    ),
    ("crossing itself", "no crossing", lambda: with_contour(looped()), meant()),
    ("facets", "true arcs", lambda: with_contour(faceted()), meant()),
    ("scrap of a line", "no scraps", lambda: with_contour(scrap()), meant()),
    (
        "circle of nothing",
        "no scraps",
        lambda: entity(GOOD, *ring(150, 40, 0.01)),
        meant(),
    ),
    (
        "repeated vertex",
        "no scraps",
        lambda: with_contour(np.insert(ARM, 1, [*ARM[1, :2], 0.0], axis=0)),
        meant(),
    ),
    ("kink", "smooth", lambda: with_contour(kinked()), meant()),
    (
        "wrong bulge",
        "smooth",
        lambda: text(GOOD, BODY + r" 42\n0\.", r"\1 42\n0.1"),
        meant(),
    ),
    (
        "bulge on the vertex after",
        "smooth",
        lambda: with_contour(np.column_stack([ARM[:, :2], np.roll(ARM[:, 2], 1)])),
        meant(),
    ),
    (
        "arc over half a turn",
        "readable arcs",
        lambda: text(GOOD, BODY + r" 42\n0\.\d+", r"\1 42\n1.2"),
        meant(),
    ),
    (
        "closing arc",
        "readable arcs",
        lambda: with_contour(np.roll(ARM, 1, axis=0)),
        meant(),
    ),
    (
        "negative angle",
        "readable arcs",
        lambda: text(LOOSE, BODY + r" 50\n\d", r"\1 50\n-1"),
        meant("pieces"),
    ),
    (
        "inches called mm",
        "size",
        lambda: text(
            text(dxf_bytes(drawing(), unit="in"), "UNITS\n 70\n1", "UNITS\n 70\n4"),
            "MEASUREMENT\n 70\n0",
            "MEASUREMENT\n 70\n1",
        ),
        meant(),
    ),
    (
        "extents never set",
        "size",
        lambda: text(GOOD, r"(EXTMIN\n 10\n)0.0", r"\g<1>1e+20"),
        meant(),
    ),
    (
        "hole moved",
        "holes meant",
        lambda: dxf_bytes(drawing(circles=HOLES + [[0, 0, 0], [0.5, 0, 0]])),
        meant(),
    ),
    (
        "cross moved",
        "holes meant",
        lambda: dxf_bytes(drawing(crosses=np.array([[299.0, 45.0, 1.5]]))),
        meant(),
    ),
    (
        "half a cross",
        "holes meant",
        lambda: entity(
            dxf_bytes(drawing(crosses=np.empty((0, 3)))),
            *stroke(300, 45),
            *stroke(200, 45),
        ),
        meant(),
    ),
    ("hole too small", "holes cuttable", lambda: GOOD, meant(plate=9.0)),
    ("too small for plasma", "holes cuttable", lambda: GOOD, meant(process="plasma")),
    (
        "thin edge",
        "metal",
        lambda: GOOD,
        meant(bores=np.array([[25.0, 25.0, 17.5]])),
    ),
    (
        "thin between",
        "metal",
        lambda: GOOD,
        meant(bores=np.array([[25.0, 25.0, 12.5], [48.0, 30.0, 5.0]])),
    ),
    ("tight corner", "inside radii", lambda: with_contour(tight()), meant()),
    (
        "crumb",
        "big enough",
        lambda: dxf_bytes(
            drawing(belt([10 + 10j, 60 + 10j], 10.0), circles=np.empty((0, 3)))
        ),
        meant(),
    ),
]


@pytest.mark.parametrize(
    ("rule", "make", "want"),
    [broken[1:] for broken in BREAKS],
    ids=[broken[0] for broken in BREAKS],
)
def test_a_broken_file_is_refused_for_its_reason(
    rule: str, make: Callable[[], bytes], want: Meant
) -> None:
    wrong = failed(make(), want)
    assert rule in wrong, wrong
    assert wrong[rule].strip()
    assert "nan" not in wrong[rule]


def test_every_rule_has_a_file_that_breaks_it() -> None:
    assert {broken[1] for broken in BREAKS} == {WHOLE, *(rule.name for rule in RULES)}


ALONE = ["kink", "closing arc", "cross moved", "no unit", "thin edge", "thick"]


@pytest.mark.parametrize("name", ALONE)
def test_a_single_fault_fails_a_single_rule(name: str) -> None:
    _, rule, make, want = next(broken for broken in BREAKS if broken[0] == name)
    wrong = set(failed(make(), want))
    # A kink moves a corner: nothing else may be laid to it but the size.
    assert wrong - {rule} <= ({"size"} if name == "kink" else set())


def test_more_faults_are_counted() -> None:
    twice = entity(GOOD, *ring(150, 40, 6, "a"), *ring(160, 40, 6, "b"))
    assert failed(twice, meant())["only cuts and marks"].endswith("(and 1 more)")


def test_an_unreadable_file_fails_everything() -> None:
    wrong = failed(GOOD[:-14], meant())
    assert len(wrong) == 1 + len(RULES)
    assert "not looked at" in wrong["size"]


def test_a_true_circle_is_no_chain_of_facets() -> None:
    ok = dxf_bytes(drawing(circle(60 + 60j, 60.0), circles=np.empty((0, 3))))
    assert "true arcs" not in failed(ok, meant())


@pytest.mark.parametrize(
    ("change", "rule", "mm", "inches"),
    [
        (
            {"process": "plasma"},
            "holes cuttable",
            "8.40 mm at 85.00, 70.00 is under 12.0 mm",
            "0.3307 in at 3.346, 2.756 is under 0.472 in",
        ),
        (
            {"bores": np.array([[25.0, 25.0, 17.5]])},
            "metal",
            "of metal round the hole at 25.00, 25.00, 8.0 mm or more",
            "of metal round the hole at 0.984, 0.984, 0.315 in or more",
        ),
    ],
)
def test_what_is_wrong_is_said_in_the_unit_of_the_design(
    change: dict[str, Any], rule: str, mm: str, inches: str
) -> None:
    """The inch is 25.4 mm exactly (NIST SP 811)."""
    metric = failed(GOOD, meant(**change))[rule]
    english = failed(GOOD, meant(**change, speaks="in"))[rule]
    assert mm in metric
    assert inches in english
    assert "mm" not in english
