"""Fixed things of the footwell: lines, arcs, polygons, circles and traced drawings.

Their places are plain numbers, taken from the car: nothing of them is ever placed.
"""

from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING, Any

from linkage.design.keys import Form, Key
from linkage.design.known import FIXED, check_keys
from linkage.design.lookup import Where
from linkage.design.names import Kinds
from linkage.design.points import read_point
from linkage.design.reading import Node, Reading
from linkage.design.records import Cartesian
from linkage.design.room_records import Fixed, Outline
from linkage.design.traced import BY_NAME, Chain, Untraced, read_traced

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

SHAPES = ("line", "arc", "polygon", "circle", "outline")
EXAMPLES = {
    "line": "line = [[-300, 560], [-520, 640]]",
    "arc": "arc = [[-80, 0], [-40, 30], [0, 90]]",
    "polygon": "polygon = [[-90, 0], [0, 0], [0, 120]]",
    "circle": "circle = { back = 320, up = 560, diameter = 60 }",
    "outline": 'outline = "tunnel.dxf"',
}
DIAMETER = Key(
    name="diameter",
    form=Form.NUMBER,
    positive=True,
    most=2000.0,
    example="diameter = 60",
)
THICK = Key(
    name="thick", form=Form.NUMBER, positive=True, most=500.0, example="thick = 45"
)
SIDE = Key(name="across", form=Form.NUMBER)
#: mm; a point nearer to the line through two others gives no arc with them.
FLAT = 1e-6
#: More points than these are no measured thing.
MOST = 200


def read_fixed(reading: Reading, node: Node, kinds: Kinds) -> tuple[Fixed, ...]:
    """Read every fixed thing of the footwell, in file order."""
    found = [_fixed(reading, row, kinds) for row in reading.tables(node)]
    return tuple(each for each in found if each is not None)


def _fixed(reading: Reading, node: Node, kinds: Kinds) -> Fixed | None:
    before = reading.told
    check_keys(reading, node, FIXED, kinds)
    name = reading.plain_text(node.child("name")) if "name" in node.raw else None
    if not name and "name" not in node.raw:
        reading.missing(node.at, "name", 'Write name = "steering column", say.')
    shape = _shape(reading, node)
    across = _across(reading, node)
    outlines = _READERS[shape](reading, node) if shape else ()
    if reading.told > before or not outlines or not name:
        return None
    for outline in outlines:
        if _crosses(outline):
            wrong = "its outline crosses or touches itself."
            right = "Give its corners in order round it, each once."
            reading.fault((*node.at, str(shape)), wrong, right)
            return None
    return Fixed(
        name=name, outlines=outlines, across=across, line=reading.line(node.at)
    )


def _shape(reading: Reading, node: Node) -> str | None:
    """Read which shape is given: one of them."""
    given = [key for key in SHAPES if key in node.raw]
    if len(given) == 1:
        _check_company(reading, node, given[0])
        return given[0]
    if not given:
        right = f"Write {EXAMPLES['line']}, an arc, a polygon, a circle or an outline."
        reading.missing(node.at, "line", right)
        return None
    wrong = f"{' and '.join(given)} stand in one thing."
    reading.fault((*node.at, given[1]), wrong, "Make two things of it.")
    return None


def _check_company(reading: Reading, node: Node, shape: str) -> None:
    """Say which keys do not go with a shape."""
    for key, owner in (("thick", "line"), ("at", "outline"), ("unit", "outline")):
        if key in node.raw and shape != owner:
            wrong = f"{key} goes with {owner}, and this thing has {shape}."
            reading.fault((*node.at, key), wrong, "Take it out.")


def _across(reading: Reading, node: Node) -> tuple[float, float] | None:
    """Read from where to where a thing reaches across the car."""
    if "across" not in node.raw or node.child("across").broken:
        return None
    row = node.child("across")
    if not isinstance(row.raw, list) or len(row.raw) != 2:
        wrong = "across is two numbers, from and to."
        right = "Write across = [-40, 60], plus to the driver's right."
        reading.fault(row.at, wrong, right)
        return None
    ends = [reading.number(row.child(i, str(i + 1)), SIDE) for i in (0, 1)]
    sizes = sorted(end.nominal for end in ends if end is not None)
    return (sizes[0], sizes[1]) if len(sizes) == 2 else None


# ------------------------------------------------------------------------ shapes


def _point(reading: Reading, node: Node, also: tuple[str, ...] = ()) -> complex | None:
    """Read a place as plain numbers."""
    before = reading.told
    form = read_point(reading, node, Where(also=also))
    if form is None:
        return None
    if not isinstance(form, Cartesian) or form.base is not None:
        wrong = "a fixed thing stands at plain numbers."
        reading.fault(node.at, wrong, "Write [-300, 560] or { back = 300, up = 560 }.")
    elif form.x.kind != "fixed" or form.z.kind != "fixed":
        reading.fault(node.at, "a fixed thing is not placed.", "Write one number.")
    if reading.told > before or not isinstance(form, Cartesian):
        return None
    return complex(form.x_sign * form.x.nominal, form.z_sign * form.z.nominal)


def _points(reading: Reading, node: Node, key: str, least: int) -> list[complex]:
    """Read a list of places; none where something in it cannot be used."""
    row = node.child(key)
    if row.broken:
        return []
    exact = key == "arc"
    good = isinstance(row.raw, list) and (
        len(row.raw) == least if exact else len(row.raw) >= least
    )
    if not good or any(not isinstance(each, list | dict) for each in row.raw):
        words = {2: "two points", 3: "three points"}[least]
        wrong = f"{key} takes {words}{'' if exact else ' or more'}."
        reading.fault(row.at, wrong, f"Write {EXAMPLES[key]}.")
        return []
    found = [_point(reading, row.child(i, str(i + 1))) for i in range(len(row.raw))]
    points = [point for point in found if point is not None]
    if len(points) < len(found):
        return []
    if len(points) > MOST:
        reading.fault(row.at, f"{len(points)} points.", f"{MOST} are enough.")
        return []
    ahead = points[1:] + (points[:1] if key == "polygon" else [])
    if any(abs(a - b) < FLAT for a, b in zip(points, ahead, strict=False)):
        reading.fault(row.at, "one point stands twice in a row.", "Take one out.")
        return []
    return points


def _line(reading: Reading, node: Node) -> tuple[Outline, ...]:
    from solvers.plane.apart import doubled

    points = _points(reading, node, "line", 2)
    thick = reading.number(node.child("thick"), THICK) if "thick" in node.raw else None
    if not points:
        return ()
    if thick is None:
        return (_rows(doubled(_array(points))),)
    return tuple(_bar(a, b, 0.5 * thick.nominal) for a, b in pairwise(points))


def _bar(a: complex, b: complex, radius: float) -> Outline:
    from solvers.plane.belt import belt

    return _rows(belt([a, b], radius))


def _arc(reading: Reading, node: Node) -> tuple[Outline, ...]:
    """Read an arc through three points."""
    import numpy as np

    from solvers.plane.apart import doubled
    from solvers.plane.pieces import bulge_of

    points = _points(reading, node, "arc", 3)
    if not points:
        return ()
    first, over, last = points
    turn = (last - over) / (first - over)
    if abs(turn.imag) * abs(first - over) < FLAT:
        wrong = "its three points lie on one line."
        reading.fault((*node.at, "arc"), wrong, "Write line = [...] for a line.")
        return ()
    angle = float(np.angle(turn))
    sweep = -np.copysign(2.0 * (np.pi - abs(angle)), angle)
    return (_rows(doubled(_array([first, last]), float(bulge_of(sweep)))),)


def _polygon(reading: Reading, node: Node) -> tuple[Outline, ...]:
    points = _points(reading, node, "polygon", 3)
    return (tuple((p.real, p.imag, 0.0) for p in points),) if points else ()


def _circle(reading: Reading, node: Node) -> tuple[Outline, ...]:
    from solvers.plane.pieces import circle

    row = node.child("circle")
    if row.broken:
        return ()
    if not isinstance(row.raw, dict) or "diameter" not in row.raw:
        wrong = "circle takes a middle and a diameter."
        reading.fault(row.at, wrong, f"Write {EXAMPLES['circle']}.")
        return ()
    middle = _point(reading, row, ("diameter",))
    size = reading.number(row.child("diameter"), DIAMETER)
    if middle is None or size is None:
        return ()
    return (_rows(circle(middle, 0.5 * size.nominal)),)


def _traced(reading: Reading, node: Node) -> tuple[Outline, ...]:
    """Read a drawing that lies beside the design file."""
    word = reading.plain_text(node.child("outline"))
    shift = _point(reading, node.child("at")) if "at" in node.raw else 0j
    unit = None
    if "unit" in node.raw:
        unit = reading.word(node.child("unit"), tuple(BY_NAME))
        if unit is None:
            return ()
    if word is None or shift is None:
        return ()
    try:
        chains = read_traced(Path(reading.file).parent / word, unit)
    except Untraced as untraced:
        reading.fault((*node.at, "outline"), untraced.wrong, untraced.right)
        return ()
    loose = sum(not chain.closed for chain in chains)
    if loose:
        wrong = f"{loose} of its outlines {'is' if loose == 1 else 'are'} not closed."
        right = "They count as lines, without an inside."
        reading.caution((*node.at, "outline"), wrong, right)
    return tuple(_of_chain(chain, shift) for chain in chains)


def _of_chain(chain: Chain, shift: complex) -> Outline:
    from solvers.plane.apart import doubled

    rows = tuple((x + shift.real, z + shift.imag, b) for x, z, b in chain.rows)
    if chain.closed:
        return rows
    points = [complex(x, z) for x, z, _ in rows]
    return _rows(doubled(_array(points), [b for _, _, b in rows[:-1]]))


_READERS: dict[str, Callable[[Reading, Node], tuple[Outline, ...]]] = {
    "line": _line,
    "arc": _arc,
    "polygon": _polygon,
    "circle": _circle,
    "outline": _traced,
}


def _crosses(outline: Outline) -> bool:
    """Return whether a closed outline meets itself; what has no inside may."""
    import numpy as np

    from solvers.plane.measure import area, extents
    from solvers.plane.relate import self_meetings

    contour = np.array(outline)
    low, high = extents(contour)
    if _is_doubled(outline):
        return False
    flat = abs(area(contour)) <= 1e-9 * abs(high - low) ** 2
    return flat or len(self_meetings(contour)) > 0


def _is_doubled(outline: Outline) -> bool:
    """Return whether an outline runs there and back."""
    n = len(outline)
    back = [(outline[-k % n][:2], outline[k][:2]) for k in range(1, n)]
    bulges = [(outline[k][2], -outline[n - 1 - k][2]) for k in range(n)]
    return all(a == b for a, b in back) and all(a == b for a, b in bulges)


def _array(points: list[complex]) -> "NDArray[np.complex128]":
    import numpy as np

    return np.array(points, complex)


def _rows(contour: Any) -> Outline:
    return tuple((float(x), float(z), float(b)) for x, z, b in contour)
