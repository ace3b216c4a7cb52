"""The written DXF bytes, read back by a small and strict reader of our own.

It knows the group codes of the entities that a cutting desk takes (LINE, ARC, CIRCLE,
POLYLINE, LWPOLYLINE) and reports everything else by its kind, so that nothing in a file
goes unseen. Lengths are those of the file, angles in degrees as written. It repairs
nothing: what is broken raises, with the line.
"""

import math
from collections.abc import Iterator, Sequence

import numpy as np
from msgspec import Struct, field
from numpy.typing import NDArray

#: Group codes that hold a height or a tilt out of the plane.
_HEIGHTS = (30, 31, 38, 39)
_TILTS = {210: 0.0, 220: 0.0, 230: 1.0}

Tag = tuple[int, str]


class DxfError(ValueError):
    """The bytes are no whole DXF file; the message says where and why."""


class Item(Struct, frozen=True, kw_only=True):
    """One entity of the model space.

    Attributes
    ----------
    kind, layer : str
        Entity type and layer as written.
    line : int
        Line of the file on which it starts.
    numbers : dict
        Group code -> last number given for it.
    rows : tuple of (x, z, bulge)
        Vertices of a polyline, else empty.
    closed : bool
        A polyline's closed flag.
    flat : bool
        Nothing of it leaves the plane.
    """

    kind: str
    layer: str
    line: int
    numbers: dict[int, float]
    rows: tuple[tuple[float, float, float], ...] = ()
    closed: bool = False
    flat: bool = True

    def contour(self) -> NDArray[np.float64]:
        """Rows of a polyline as an array, shape (n, 3)."""
        return np.array(self.rows, dtype=float).reshape(-1, 3)


class DxfFile(Struct, frozen=True, kw_only=True):
    """A file as read: header values as text by name, then entities in file order."""

    header: dict[str, dict[int, str]]
    items: tuple[Item, ...]
    blocks: int = 0
    comments: tuple[str, ...] = ()


class _Tags(Struct):
    """Group code and value pairs with a place in them."""

    tags: list[Tag]
    at: int = 0
    comments: list[str] = field(default_factory=list)

    @property
    def line(self) -> int:
        return 2 * self.at + 1

    def peek(self) -> Tag:
        if self.at >= len(self.tags):
            raise DxfError("the file stops without its end mark (EOF): it is cut off")
        return self.tags[self.at]

    def next(self) -> Tag:
        tag = self.peek()
        self.at += 1
        return tag


def read_dxf(data: bytes) -> DxfFile:
    """Read a whole DXF file.

    Raises
    ------
    DxfError
        Not text, a group code that is no number, a value that is no number, a section
        not ended, no end mark, or something after it.
    """
    tags = _Tags(_pairs(data))
    header: dict[str, dict[int, str]] = {}
    items: list[Item] = []
    blocks, seen = 0, set()
    while (tag := _passing(tags)) != (0, "EOF"):
        if tag != (0, "SECTION"):
            raise DxfError(f"line {tags.line - 2}: a section should start here")
        code, name = tags.next()
        if code != 2 or name in seen:
            raise DxfError(f"line {tags.line - 2}: a new section's name should be here")
        seen.add(name)
        if name == "HEADER":
            header = _header(tags)
        elif name == "ENTITIES":
            items = list(_items(tags))
        elif name == "BLOCKS":
            blocks = sum(item.kind not in _FRAMES for item in _items(tags))
        else:
            _skip(tags)
    if tags.at < len(tags.tags):
        raise DxfError(f"line {tags.line}: something stands after the end mark")
    if not {"HEADER", "ENTITIES"} <= seen:
        raise DxfError("the file lacks its HEADER or its ENTITIES section")
    comments = tuple(tags.comments)
    return DxfFile(header=header, items=tuple(items), blocks=blocks, comments=comments)


_FRAMES = {"BLOCK", "ENDBLK"}


def _pairs(data: bytes) -> list[Tag]:
    """Split the bytes into group codes and values."""
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        raise DxfError(f"byte {error.start}: the file is not plain text") from None
    lines = text.replace("\r\n", "\n").split("\n")
    if lines and not lines[-1]:
        lines.pop()
    if len(lines) % 2:
        raise DxfError("the last group code has no value: the file is cut off")
    return [
        (_whole(code, 2 * k + 1), value)
        for k, (code, value) in enumerate(zip(lines[::2], lines[1::2], strict=True))
    ]


def _whole(text: str, line: int) -> int:
    try:
        return int(text)
    except ValueError:
        raise DxfError(f"line {line}: {text!r} is no group code") from None


def _number(code: int, text: str, line: int) -> float:
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise DxfError(f"line {line}: {text!r} is no number (group code {code})")
    return value


def _passing(tags: _Tags) -> Tag:
    """Next tag that is no comment; comments are kept."""
    while (tag := tags.next())[0] == 999:
        tags.comments.append(tag[1])
    return tag


def _skip(tags: _Tags) -> None:
    while (tag := _passing(tags)) != (0, "ENDSEC"):
        if tag in ((0, "EOF"), (0, "SECTION")):
            raise DxfError(f"line {tags.line - 2}: a section is not ended")


def _header(tags: _Tags) -> dict[str, dict[int, str]]:
    """Variables by name, each with its values by group code."""
    found: dict[str, dict[int, str]] = {}
    current: dict[int, str] = {}
    while (tag := _passing(tags)) != (0, "ENDSEC"):
        code, value = tag
        if code == 9:
            current = found.setdefault(value, {})
        elif code == 0:
            raise DxfError(f"line {tags.line - 2}: the header is not ended")
        else:
            current[code] = value
    return found


def _items(tags: _Tags) -> Iterator[Item]:
    """Entities up to the end of the section."""
    while (tag := _passing(tags)) != (0, "ENDSEC"):
        if tag[0] != 0 or tag[1] in ("EOF", "SECTION"):
            raise DxfError(f"line {tags.line - 2}: a section is not ended")
        line = tags.line - 2
        body = _body(tags)
        if tag[1] == "POLYLINE":
            yield _polyline(body, list(_vertices(tags)), line)
        else:
            yield _item(tag[1], body, line)


def _body(tags: _Tags) -> list[tuple[int, str, int]]:
    """Group codes of one entity with their lines."""
    found = []
    while tags.peek()[0] != 0:
        line = tags.line + 1
        code, value = _passing(tags) if tags.peek()[0] != 999 else (0, "")
        if code == 0:
            tags.comments.append(tags.next()[1])
        else:
            found.append((code, value, line))
    return found


def _vertices(tags: _Tags) -> Iterator[list[tuple[int, str, int]]]:
    while (tag := _passing(tags)) != (0, "SEQEND"):
        if tag != (0, "VERTEX"):
            raise DxfError(f"line {tags.line - 2}: a polyline is not ended")
        yield _body(tags)
    _body(tags)


def _values(body: Sequence[tuple[int, str, int]]) -> dict[int, float]:
    """Numbers by group code: 10 to 99 and 210 to 239 of an entity."""
    return {
        code: _number(code, text, line)
        for code, text, line in body
        if 10 <= code <= 99 or 210 <= code <= 239
    }


def _layer(body: Sequence[tuple[int, str, int]]) -> str:
    return next((text for code, text, _ in body if code == 8), "0")


def _is_flat(numbers: dict[int, float]) -> bool:
    level = all(numbers.get(code, 0.0) == 0.0 for code in _HEIGHTS)
    return level and all(numbers.get(c, want) == want for c, want in _TILTS.items())


def _item(kind: str, body: Sequence[tuple[int, str, int]], line: int) -> Item:
    numbers = _values(body)
    rows = tuple(_light_rows(body)) if kind == "LWPOLYLINE" else ()
    closed = kind == "LWPOLYLINE" and int(numbers.get(70, 0)) & 1 == 1
    if kind == "LWPOLYLINE" and int(numbers.get(90, len(rows))) != len(rows):
        raise DxfError(f"line {line}: the polyline's count of vertices is wrong")
    return Item(
        kind=kind,
        layer=_layer(body),
        line=line,
        numbers=numbers,
        rows=rows,
        closed=closed,
        flat=_is_flat(numbers),
    )


def _light_rows(
    body: Sequence[tuple[int, str, int]],
) -> Iterator[tuple[float, float, float]]:
    """Vertices of an LWPOLYLINE: each starts at a 10; a bulge left out is 0."""
    starts = [k for k, (code, _, _) in enumerate(body) if code == 10]
    for first, last in zip(starts, [*starts[1:], len(body)], strict=True):
        yield _row(_values(body[first:last]))


def _row(numbers: dict[int, float]) -> tuple[float, float, float]:
    return numbers.get(10, 0.0), numbers.get(20, 0.0), numbers.get(42, 0.0)


def _polyline(
    body: Sequence[tuple[int, str, int]],
    vertices: Sequence[Sequence[tuple[int, str, int]]],
    line: int,
) -> Item:
    numbers = _values(body)
    corners = [_values(vertex) for vertex in vertices]
    flags = int(numbers.get(70, 0))
    # Flags beyond closed (1) and line type (128): curve fit, splines, meshes, 3D.
    plain = flags & ~129 == 0 and all(not int(c.get(70, 0)) for c in corners)
    return Item(
        kind="POLYLINE" if plain else "POLYLINE of another sort",
        layer=_layer(body),
        line=line,
        numbers=numbers,
        rows=tuple(map(_row, corners)),
        closed=flags & 1 == 1,
        flat=_is_flat(numbers) and all(map(_is_flat, corners)),
    )
