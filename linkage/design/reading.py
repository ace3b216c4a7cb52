"""What every reader of a table shares: where it stands, and what is wrong so far.

A *node* is a piece of the file as the TOML reader gives it, with its place in the
file and the path under which its values are known. Readers return None for what
cannot be used, after saying why; they never raise.
"""

from collections.abc import Iterator, Mapping
from typing import Any, Literal, NamedTuple

from msgspec import Struct, field
from msgspec.structs import replace

from linkage.design.grammar import read_number
from linkage.design.keys import Key
from linkage.design.limits import CHOICE, no_tolerance, refusal, with_example
from linkage.design.lines import BROKEN
from linkage.design.names import Names
from linkage.design.records import Chosen, Point
from linkage.design.spans import At, Spot
from linkage.design.terms import Misread
from linkage.design.values import Value
from linkage.faults import Fault


class Node(NamedTuple):
    """A piece of the file: what it holds, where it stands, what it is called."""

    raw: Any
    at: At
    path: str

    @property
    def broken(self) -> bool:
        """Return True where a slip was told already."""
        return bool(self.raw == BROKEN) if isinstance(self.raw, str) else False

    def child(self, key: str | int, word: str | None = None) -> "Node":
        """Return what stands under ``key``, called ``word`` in its path."""
        name = word if word is not None else str(key)
        return Node(self.raw[key], (*self.at, key), f"{self.path}.{name}")

    def children(self) -> Iterator["Node"]:
        """Return every piece of a table, in file order."""
        for key in self.raw:
            yield self.child(key)


class Reading(Struct, eq=False):
    """One file while it is read."""

    file: str
    text: str
    spots: Mapping[At, Spot]
    names: Names
    units: Literal["mm", "in"] = "mm"
    faults: list[Fault] = field(default_factory=list)
    cautions: list[Fault] = field(default_factory=list)
    values: dict[str, Value] = field(default_factory=dict)
    choices: dict[str, Chosen] = field(default_factory=dict)
    points: dict[str, Point] = field(default_factory=dict)
    misplaced: set[At] = field(default_factory=set)
    _missing: list[tuple[At, Fault]] = field(default_factory=list)
    _hanging: list[tuple[At, Fault]] = field(default_factory=list)

    def spot(self, at: At) -> Spot:
        """Return where something stands, or else what it stands in."""
        for size in range(len(at), 0, -1):
            if at[:size] in self.spots:
                return self.spots[at[:size]]
        return Spot(0, 0, 0)

    def line(self, at: At) -> int:
        """Return the line of something."""
        return self.spot(at).line

    def fault(self, at: At, wrong: str, right: str, key: str | None = None) -> None:
        """Say that what stands at ``at`` cannot be used."""
        self.faults.append(self._said(at, wrong, right, key))

    def caution(self, at: At, wrong: str, right: str) -> None:
        """Say something about what stands at ``at``; the work goes on."""
        self.cautions.append(self._said(at, wrong, right, None))

    def _said(self, at: At, wrong: str, right: str, key: str | None) -> Fault:
        return Fault(
            file=self.file,
            line=self.line(at),
            key=label(at) if key is None else key,
            wrong=wrong,
            right=right,
        )

    def missing(self, table: At, key: str, right: str) -> None:
        """Say that a table lacks a key, unless the key stands somewhere, broken."""
        at = (*table, key)
        if at not in self.spots:
            said = self._said(table, f"{key} is missing.", right, label(table))
            self._missing.append((at, said))

    def hanging(self, at: At, on: At, wrong: str, right: str) -> None:
        """Say that ``at`` cannot be used, unless only because ``on`` is missing."""
        self._hanging.append((on, self._said(at, wrong, right, None)))

    def all_faults(self) -> list[Fault]:
        """Return every fault; what stands in the wrong table is not missing too.

        What only hangs on something that is missing, or misplaced, is not told.
        """
        lacks = [said for at, said in self._missing if not self._is_misplaced(at)]
        gone = {at for at, _ in self._missing} | self.misplaced
        hangs = [said for on, said in self._hanging if on not in gone]
        return self.faults + hangs + lacks

    def _is_misplaced(self, at: At) -> bool:
        """Return True for what stands elsewhere, or all that it belongs to."""
        return any(at[:size] in self.misplaced for size in range(1, len(at) + 1))

    @property
    def told(self) -> int:
        """How much was said so far, to tell later whether more was."""
        return len(self.faults) + len(self._hanging)

    # ----------------------------------------------------------------- leaves

    def number(self, node: Node, key: Key) -> Value | None:
        """Read a number, with all that its key allows and forbids."""
        if node.broken:
            return None
        if wrong := no_tolerance(node.raw, key):
            self.fault(node.at, *wrong)
            return None
        try:
            value = read_number(node.raw, key.measure, self.units)
        except Misread as misread:
            self.fault(node.at, misread.wrong, with_example(misread, key.example))
            return None
        return self.accept(node, value, key)

    def accept(self, node: Node, value: Value, key: Key) -> Value | None:
        """Note a value under its path, unless its key forbids it."""
        wrong = refusal(value, key)
        if not wrong and value.options and not self.in_braces(node):
            wrong = "a choice stands between braces.", f"Write {CHOICE}."
        if wrong:
            self.fault(node.at, *wrong)
            return None
        spot = self.spot(node.at)
        value = replace(
            value, path=node.path, line=spot.line, span=(spot.start, spot.end)
        )
        self.values[node.path] = value
        return value

    def in_braces(self, node: Node) -> bool:
        """Return True for a table that is written between braces, in one spot."""
        spot = self.spot(node.at)
        return self.text.startswith("{", spot.start) and spot.end > spot.start

    def word(self, node: Node, words: tuple[str, ...]) -> str | None:
        """Read one of some words."""
        if node.broken:
            return None
        if node.raw in words and isinstance(node.raw, str):
            return node.raw
        self.fault(node.at, f"{shown(node.raw)} is none of its words.", one_of(words))
        return None

    def plain_text(self, node: Node) -> str | None:
        """Read free text."""
        if node.broken:
            return None
        if isinstance(node.raw, str):
            return node.raw
        wrong = f"{shown(node.raw)} stands where text belongs."
        self.fault(node.at, wrong, "Put it between quotation marks.")
        return None

    def flag(self, node: Node) -> bool | None:
        """Read true or false."""
        if node.broken:
            return None
        if isinstance(node.raw, bool):
            return node.raw
        right = f"Write {node.at[-1]} = true, or leave it out."
        self.fault(node.at, f"{shown(node.raw)} is neither true nor false.", right)
        return None

    def table(self, node: Node, example: str) -> Node | None:
        """Return a node that holds a table; say what is wrong with any other."""
        if isinstance(node.raw, dict):
            return node
        if isinstance(node.raw, list) and node.raw and isinstance(node.raw[0], dict):
            self.fault(
                node.at, "there is only one of these.", "One bracket each side: [...]."
            )
        elif not node.broken:
            wrong = f"{shown(node.raw)} stands where a table belongs."
            self.fault(node.at, wrong, f"Write {example}.")
        return None

    def tables(self, node: Node) -> list[Node]:
        """Return the tables of a node that may hold several, counted from 1."""
        if isinstance(node.raw, dict):
            return [Node(node.raw, node.at, f"{node.path}.1")]
        if isinstance(node.raw, list):
            kids = [node.child(i, str(i + 1)) for i in range(len(node.raw))]
            good = [kid for kid in kids if isinstance(kid.raw, dict)]
            if len(good) == len(kids):
                return good
        if not node.broken:
            wrong = f"{shown(node.raw)} stands where tables belong."
            self.fault(node.at, wrong, f"Write [[{'.'.join(map(str, node.at))}]].")
        return []


def label(at: At) -> str:
    """Return what people call a place in the file: "bore", "holes.lower.along".

    >>> label(("pedal", "brake", "train", 0, "bore")), label(("pedal", "brake"))
    ('bore', 'pedal.brake')
    """
    numbers = [i for i, word in enumerate(at) if isinstance(word, int)]
    words = at
    if at[:1] == ("pedal",) and len(at) > 2:
        words = at[2:]
        row = [i for i in numbers if at[i - 1] in ("train", "target")]
        if row:
            words = at[row[-1] + 1 :] or (f"{at[row[-1] - 1]} {int(at[row[-1]]) + 1}",)
    return ".".join(str(w)[:40] for w in words if not isinstance(w, int))


def shown(raw: Any) -> str:
    """Return a piece of the file, short, as a sentence may quote it."""
    if isinstance(raw, bool):
        return str(raw).lower()
    if isinstance(raw, dict):
        return "a table"
    if isinstance(raw, list):
        return "a list"
    text = str(raw)
    text = text if len(text) <= 40 else f"{text[:40]}..."
    return f'"{text}"' if isinstance(raw, str) else text


def one_of(words: tuple[str, ...]) -> str:
    """Return a sentence that lists some words."""
    return f"Write one of: {', '.join(f'{chr(34)}{word}{chr(34)}' for word in words)}."
