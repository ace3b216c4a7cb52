"""The look at each line of a design file, before any reader of TOML sees it.

The standard reader stops at its first fault and gives good syntax no line numbers.
This one looks at every line by itself: a slip becomes a sentence of its own, the spot
is mended or blanked, and the look goes on. What it keeps is where every key and table
stands. It knows no pedal and no meaning of any key, with one exception: which tables
there may be several of.
"""

import re
from collections.abc import Mapping

from msgspec import Struct

from linkage.design import line_slips, slips
from linkage.design.spans import (
    DEEPEST,
    FEW,
    GAP,
    KEYS,
    At,
    Slip,
    Spans,
    Spot,
    words_of,
)
from linkage.design.splice import Patch, splice

#: What a broken value is mended to: its fault is told, so nothing more is said.
BROKEN = "\0"
#: Tables that a file may hold several of, by the last word of their heading.
SEVERAL = ("target", "train")
#: After so many slips the look stops: this is no design file.
ENOUGH = 200

_HEAD = re.compile(
    rf"[ \t]*(\[\[?){KEYS.pattern}(\]\]?)[ \t]*(?:#[^\n]*)?\r?$", re.MULTILINE
)
_BLANK = re.compile(r"[ \t\r]*(?:#.*)?$", re.MULTILINE)
_BRACKET = re.compile(r"[ \t]*\[")
_UNSEEN = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]|\\u0000|\\U00000000")
#: A colon, or the start of a value, behind a key without an equals sign.
_VALUE = re.compile(r":|(?<=\s)[\"'\d\[{]")
_ODD_SPACE = re.compile("[\u00a0\u2007\u2009\u202f\ufeff]")


class Told(Struct, frozen=True):
    """One slip, with its line and the key on it."""

    line: int
    key: str
    wrong: str
    right: str


class Look(Struct, frozen=True):
    """What the look at the lines gives.

    Attributes
    ----------
    toml : str
        The text for the TOML reader, its slips mended; the same number of lines.
    spots : mapping
        Where each key (its value) and each table (its heading) stands.
    told : tuple of Told
        The slips.
    """

    toml: str
    spots: Mapping[At, Spot]
    told: tuple[Told, ...]


def look(text: str) -> Look:
    """Look at every line of a text; a byte-order mark in front counts as a space."""
    lines = _Lines(text)
    lines.walk()
    return Look(
        splice(lines.text, lines.patches.values()),
        lines.spans.spots,
        tuple(sorted(lines.told, key=lambda told: told.line)),
    )


def _tame(text: str) -> str:
    """Return a text of the same length without signs that no editor shows."""
    if not text.isascii():
        text = _ODD_SPACE.sub(" ", text)
    if "\r" in text:
        text = re.sub("\r(?!\n)", "\n", text)
    return text


class _Lines:
    """One walk through a text, statement by statement."""

    def __init__(self, text: str) -> None:
        self.told: list[Told] = []
        self.text = _tame(text)
        self.spans = Spans(self.text)
        self._take_out_unseen()
        self.spans.text = self.text
        self.patches: dict[int, Patch] = {}
        self._table: At = ()
        self._skipping = False
        self._values: set[At] = set()
        self._dotted: set[At] = set()
        self._several: dict[At, int] = {}
        self._single: dict[At, int] = {}

    def _take_out_unseen(self) -> None:
        lines = {self.spans.line(m.start()) for m in _UNSEEN.finditer(self.text)}
        for line in sorted(lines)[:ENOUGH]:
            self._tell(line, "", "holds a sign that no editor shows.", "Type it anew.")
        if lines:
            self.text = _UNSEEN.sub(lambda sign: " " * len(sign[0]), self.text)

    def walk(self) -> None:
        """Look at every statement in turn."""
        pos = 0
        while pos < len(self.text):
            if len(self.told) >= ENOUGH:
                self._patch(pos, len(self.text), "")
                self._tell(
                    self.spans.line(pos),
                    "",
                    "and so on: is this a design file?",
                    "Compare it with a file that footwell new writes.",
                )
                return
            pos = self._statement(pos, self.spans.line_end(pos)) + 1

    def _statement(self, start: int, end: int) -> int:
        """Look at the statement that starts at ``start``; return where it ends."""
        if _BLANK.match(self.text, start, end):
            return end
        if _BRACKET.match(self.text, start, end):
            self._heading(start, end)
            return end
        found = KEYS.match(self.text, start, end)
        if found and self.text.startswith("=", found.end()):
            return self._assignment(start, words_of(found[1]), found.end() + 1)
        line, words = self.spans.line(start), []
        if found and _VALUE.match(self.text, found.end()):
            words = words_of(found[1])
        sentence = line_slips.no_equals(self.text[start:end].strip(" \t\r"))
        self._tell(line, ".".join(words), *sentence)
        self._patch(start, end, "")
        if words:
            self.spans.spots.setdefault((*self._table, *words), Spot(line, start, end))
        return end

    def _tell(self, line: int, key: str, wrong: str, right: str) -> None:
        self.told.append(Told(line, key, wrong, right))

    def _patch(self, start: int, end: int, put: str) -> None:
        """Mend a spot, so that every later line keeps its number."""
        lost = self.text.count("\n", start, end) - put.count("\n")
        self.patches[start] = Patch(start, end, put + "\n" * lost)

    # ------------------------------------------------------------- assignments

    def _assignment(self, start: int, words: list[str], begin: int) -> int:
        if len(words) > DEEPEST:
            end = self.spans.line_end(start)
            self._patch(start, end, "")
            self._tell(self.spans.line(start), "", "this key has too many words.", FEW)
            return end
        found = GAP.match(self.text, begin)
        begin = found.end() if found else begin
        at, line = (*self._table, *words), self.spans.line(start)
        if not self._skipping and self._is_new(at, ".".join(words), line):
            return self._value(begin, at, words, line)
        kept, self.spans.spots = self.spans.spots, {}
        end = self._value(begin, at, words, line)
        self.spans.spots = kept
        kept.setdefault(at, Spot(line, begin, end))
        self.patches.pop(begin, None)
        self._patch(start, end, "")
        return end

    def _value(self, begin: int, at: At, words: list[str], line: int) -> int:
        """Look at a value and what stands behind it; return where its line ends."""
        try:
            end = self._good_value(begin, at, words)
        except Slip as slip:
            end = slip.resume or self.spans.line_end(begin)
            self._tell(line, ".".join(words), slip.wrong, slip.right)
            self._patch(begin, end, '"\\u0000"')
            self.spans.spots[at] = Spot(line, begin, end)
        self._values.add(at)
        self._note_above(at)
        return end

    def _good_value(self, begin: int, at: At, words: list[str]) -> int:
        stop = self.spans.value(begin, at, words[-1])
        end = self.spans.line_end(stop)
        if not _BLANK.match(self.text, stop, end):
            raw = self.text[begin : self.spans.line_end(begin)]
            raise Slip(*slips.value(raw.strip(), words[-1]))
        return end

    def _is_new(self, at: At, key: str, line: int) -> bool:
        """Tell of a key that stands twice, or under something that is no table."""
        first = self._first(at)
        if first is None:
            self._dotted |= {at[:n] for n in range(len(self._table) + 1, len(at))}
            return True
        other = self.spans.spots[first].line
        name = ".".join(str(word) for word in first[-1:])
        where = "twice on this line" if other == line else f"here and on line {other}"
        self._tell(line, key, f"{name} is given twice: {where}.", "Keep one of them.")
        return False

    def _first(self, at: At) -> At | None:
        """Return what forbids a key: itself, a value or a finished table above it."""
        if at in self.spans.spots:
            return at
        for size in range(1, len(at)):
            above = at[:size]
            if above in self._values:
                return above
            if size > len(self._table) and self._is_finished(above):
                return above
        return None

    def _is_finished(self, at: At) -> bool:
        """Return True for a table that has had its heading."""
        spot = self.spans.spots.get(at)
        headed = spot is not None and spot.end > spot.start
        return at in self._several or (headed and at not in self._dotted)

    # ---------------------------------------------------------------- headings

    def _heading(self, start: int, end: int) -> None:
        self._skipping = False
        spot = Spot(self.spans.line(start), start, end)
        found = _HEAD.match(self.text, start, end)
        if found and len(found[1]) == len(found[3]):
            words, several = words_of(found[2]), found[1] == "[["
        else:
            raw = self.text[start:end].partition("#")[0].strip()
            self._tell(spot.line, "", *line_slips.heading(raw))
            words = line_slips.heading_words(raw)
            several = "[[" in raw or "]]" in raw
            self._rewrite(spot, words, several)
        if not words or len(words) > DEEPEST:
            if words:
                self._tell(spot.line, "", "this heading has too many words.", FEW)
            self._skip(spot)
        else:
            self._enter(words, several, spot)

    def _rewrite(self, spot: Spot, words: list[str], several: bool) -> None:
        name = ".".join(f'"{word}"' for word in words)
        put = f"[[{name}]]" if several else f"[{name}]"
        self._patch(spot.start, spot.end, put)

    def _skip(self, spot: Spot) -> None:
        """Leave out a heading and all that stands under it."""
        self._patch(spot.start, spot.end, "")
        self._skipping = True

    def _enter(self, words: list[str], several: bool, spot: Spot) -> None:
        at = self._resolve(words)
        name = ".".join(words)
        if not several and len(words) > 2 and words[-1] in SEVERAL:
            self._single_bracket(at, words, spot)
            several = True
        first = self._clash(at, several)
        if several and first is None:
            count = self._several.get(at, 0)
            self._several[at] = count + 1
            self._table = (*at, count)
        else:
            self._table = at
        if first is not None:
            wrong = f"[{name}] stands twice: here and on line {first}."
            self._tell(spot.line, "", wrong, "Put all of it under one heading.")
            self._skip(spot)
            return
        self.spans.spots[self._table] = spot
        self._note_above(self._table)

    def _single_bracket(self, at: At, words: list[str], spot: Spot) -> None:
        """Read a heading of one bracket as the one of several that it is."""
        self._rewrite(spot, words, several=True)
        if at in self._several:
            name, first = ".".join(words), self.spans.spots[at].line
            self._tell(
                spot.line,
                "",
                f"[{name}] stands twice: here and on line {first}.",
                f"There may be several of these: two brackets each side, [[{name}]].",
            )

    def _clash(self, at: At, several: bool) -> int | None:
        """Return the line of what already stands in this place, if it may not."""
        for size in range(1, len(at) + 1):
            if at[:size] in self._values:
                return self.spans.spots[at[:size]].line
        spot = self.spans.spots.get(at)
        if spot is None or (several and at in self._several):
            return None
        closed = at in self._dotted or at in self._several
        return spot.line if several or closed or spot.end > spot.start else None

    def _resolve(self, words: list[str]) -> At:
        """Return the place that the words of a heading lead to."""
        at: At = ()
        for index, word in enumerate(words, 1):
            at = (*at, word)
            if at in self._several and index < len(words):
                at = (*at, self._several[at] - 1)
        return at

    def _note_above(self, at: At) -> None:
        """Note the tables that a key or heading makes on its way."""
        spot = self.spans.spots[at]
        for size in range(len(at) - 1, 0, -1):
            if at[:size] in self.spans.spots:
                return
            self.spans.spots[at[:size]] = Spot(spot.line, spot.start, spot.start)
