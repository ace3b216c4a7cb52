"""A traced drawing (DXF) as outlines of the car: lines, arcs, circles, polylines.

What ends where another begins is joined; what closes has an inside, what does not is a
line. Anything else in the drawing is refused by its name: an outline that was left out
without a word could be the one that the pedal hits.

Points are mm, in the drawing's own marks.
"""

import cmath
from functools import lru_cache
from io import BytesIO
from math import radians, tan
from pathlib import Path
from typing import Any

from msgspec import Struct

#: mm in one unit of the drawing, by the number that DXF gives it ($INSUNITS).
UNITS = {1: 25.4, 2: 304.8, 4: 1.0, 5: 10.0, 6: 1000.0}
#: The units that a file may state for a drawing that has none.
BY_NAME = {"in": 25.4, "ft": 304.8, "mm": 1.0, "cm": 10.0, "m": 1000.0}
#: Larger drawings are refused, in bytes, and so are more pieces.
LARGEST, MOST = 5_000_000, 500
#: mm; ends nearer to each other are one point.
JOINED = 0.01

Row = tuple[float, float, float]


class Chain(Struct, frozen=True):
    """Points with the bulge of each piece to the next; closed or not."""

    rows: tuple[Row, ...]
    closed: bool


class Untraced(Exception):  # noqa: N818 - it says what happened
    """A drawing that cannot be used: what is wrong, and what would be right."""

    def __init__(self, wrong: str, right: str) -> None:
        super().__init__(wrong)
        self.wrong, self.right = wrong, right


def read_traced(path: Path, unit: str | None) -> tuple[Chain, ...]:
    """Return the outlines of a drawing.

    Parameters
    ----------
    path : Path
    unit : str, optional
        A name of `BY_NAME`, for a drawing that does not say its own.

    Raises
    ------
    Untraced
    """
    if path.suffix.lower() != ".dxf":
        wrong = f"{path.name[:60]} is no DXF."
        raise Untraced(wrong, 'Write outline = "tunnel.dxf", say.')
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST + 1)
    except FileNotFoundError:
        wrong = f"there is no file {path.name[:60]}."
        raise Untraced(wrong, "Put it beside the design file.") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "not a name of a file"
        wrong = f"{path.name[:60]} cannot be read: {reason.lower()}."
        raise Untraced(wrong, "Name a file that you may read.") from None
    if len(data) > LARGEST:
        raise Untraced(f"{path.name} is larger than 5 MB.", "Trace less into it.")
    return _read(data, path.name, unit)


@lru_cache(maxsize=16)
def _read(data: bytes, name: str, unit: str | None) -> tuple[Chain, ...]:
    """Return the outlines of the bytes of a drawing."""
    drawing = _parsed(data, name)
    scale = _scale(drawing, name, unit)
    pieces = [_chain(item, name) for item in drawing.modelspace()]
    count = sum(len(piece.rows) for piece in pieces)
    if count > MOST:
        raise Untraced(*_too_many(name, count))
    chains = join([_scaled(piece, scale) for piece in pieces])
    if not chains:
        raise Untraced(f"{name} is empty.", "Trace the outline into it.")
    return tuple(chains)


def _parsed(data: bytes, name: str) -> Any:
    from ezdxf import recover
    from ezdxf.lldxf.const import DXFError

    try:
        drawing, _ = recover.read(BytesIO(data))
    except (DXFError, ValueError, IndexError, KeyError, TypeError, AttributeError):
        wrong = f"{name} cannot be read as a DXF."
        raise Untraced(wrong, "Save it again, as DXF R2000 or newer.") from None
    count = len(drawing.modelspace())
    if count > MOST:
        raise Untraced(*_too_many(name, count))
    return drawing


def _too_many(name: str, count: int) -> tuple[str, str]:
    right = f"Trace it with fewer: {MOST} at most."
    return f"{name} holds {count} corners and pieces.", right


def _scale(drawing: Any, name: str, unit: str | None) -> float:
    own = UNITS.get(int(drawing.header.get("$INSUNITS", 0)))
    if own is None and unit is None:
        wrong = f"{name} does not say its unit."
        raise Untraced(wrong, 'Write unit = "mm" beside it, say.')
    given = own if unit is None else BY_NAME[unit]
    if own is not None and given != own:
        wrong = f"{name} says another unit of itself than {unit}."
        raise Untraced(wrong, "Take unit out, if the drawing is right.")
    return float(given or 1.0)


def _chain(item: Any, name: str) -> Chain:
    """Return one thing of a drawing as a chain, in the drawing's unit."""
    kind = item.dxftype()
    read = {
        "LINE": _line,
        "ARC": _arc,
        "CIRCLE": _circle,
        "LWPOLYLINE": _polyline,
        "POLYLINE": _old_polyline,
    }.get(kind)
    if read is None:
        wrong = f"{name} holds a {kind} (layer {item.dxf.layer[:40]})."
        right = "Leave lines, arcs, circles and polylines; delete or convert it."
        raise Untraced(wrong, right)
    if item.dxf.get("extrusion", (0.0, 0.0, 1.0))[2] <= 0.0:
        wrong = f"{name} holds a {kind} that is drawn from behind."
        raise Untraced(wrong, "Draw it in the plane, seen from above.")
    return read(item, name)


def _line(item: Any, _: str) -> Chain:
    a, b = item.dxf.start, item.dxf.end
    return Chain(((a.x, a.y, 0.0), (b.x, b.y, 0.0)), closed=False)


def _arc(item: Any, _: str) -> Chain:
    sweep = radians((item.dxf.end_angle - item.dxf.start_angle) % 360.0 or 360.0)
    centre = complex(item.dxf.center.x, item.dxf.center.y)
    first = radians(item.dxf.start_angle)
    turns = (0.0, 0.5, 1.0)
    at = [centre + cmath.rect(item.dxf.radius, first + t * sweep) for t in turns]
    bulges = (tan(sweep / 8.0), tan(sweep / 8.0), 0.0)
    rows = tuple((p.real, p.imag, b) for p, b in zip(at, bulges, strict=True))
    return Chain(rows, closed=False)


def _circle(item: Any, _: str) -> Chain:
    x, z, r = item.dxf.center.x, item.dxf.center.y, item.dxf.radius
    return Chain(((x + r, z, 1.0), (x - r, z, 1.0)), closed=True)


def _polyline(item: Any, _: str) -> Chain:
    rows = tuple((x, z, b) for x, z, b in item.get_points("xyb"))
    return Chain(rows, closed=bool(item.closed))


def _old_polyline(item: Any, name: str) -> Chain:
    if not item.is_2d_polyline or item.dxf.flags & 6:
        wrong = f"{name} holds a POLYLINE that is curved or no plane one."
        raise Untraced(wrong, "Convert it to lines and arcs.")
    rows = tuple(
        (v.dxf.location.x, v.dxf.location.y, float(v.dxf.get("bulge", 0.0)))
        for v in item.vertices
    )
    return Chain(rows, closed=bool(item.is_closed))


def _scaled(chain: Chain, scale: float) -> Chain:
    rows = tuple((scale * x, scale * z, b) for x, z, b in chain.rows)
    return Chain(rows, closed=chain.closed)


# ----------------------------------------------------------------------- joining


def join(chains: list[Chain]) -> list[Chain]:
    """Return chains joined where one ends and another begins, closed where they can.

    Points twice in a row are one. What meets another's end from either side is turned
    round to fit.
    """
    found = []
    rest = [c for c in map(_without_doubles, chains) if len(c.rows) > 1]
    while rest:
        chain = rest.pop(0)
        while not chain.closed:
            if _near(chain.rows[0], chain.rows[-1]) and len(chain.rows) > 2:
                chain = Chain(chain.rows[:-1], closed=True)
                break
            longer = _longer(chain, rest)
            if longer is None:
                break
            chain = longer
        found.append(chain)
    return found


def _longer(chain: Chain, rest: list[Chain]) -> Chain | None:
    """Return a chain with another of the rest at one of its ends, None for no other."""
    for one in (chain, turned(chain)):
        for k, other in enumerate(rest):
            for next_ in () if other.closed else (other, turned(other)):
                if _near(one.rows[-1], next_.rows[0]):
                    del rest[k]
                    (x, z, _), bulge = one.rows[-1], next_.rows[0][2]
                    rows = (*one.rows[:-1], (x, z, bulge), *next_.rows[1:])
                    return Chain(rows, closed=False)
    return None


def turned(chain: Chain) -> Chain:
    """Return an open chain from its end to its beginning."""
    back = chain.rows[::-1]
    bulges = [-b for _, _, b in back[1:]] + [0.0]
    return Chain(
        tuple((x, z, b) for (x, z, _), b in zip(back, bulges, strict=True)),
        closed=False,
    )


def _near(a: Row, b: Row) -> bool:
    return abs(complex(a[0] - b[0], a[1] - b[1])) <= JOINED


def _without_doubles(chain: Chain) -> Chain:
    """Return a chain without pieces of no length; a full circle's ends stay apart."""
    rows = list(chain.rows)
    kept = [
        row
        for k, row in enumerate(rows)
        if k + 1 == len(rows) or not _near(row, rows[k + 1])
    ]
    if chain.closed and len(kept) > 1 and _near(kept[0], kept[-1]):
        kept.pop()
    return Chain(tuple(kept), closed=chain.closed)
