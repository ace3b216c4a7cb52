"""Where a value of a TOML file ends, and where everything in it stands.

Follows TOML 1.0; where a value breaks its rules, `Slip` carries the sentence.
"""

import re
from bisect import bisect_right
from typing import NamedTuple

from linkage.design import line_slips, slips

At = tuple[str | int, ...]

#: Deeper nesting than any design has.
DEEPEST = 12
#: More digits than any number needs.
LONGEST = 60
FEW = "Nothing in a design file goes so deep."

KEY = r"(?:[A-Za-z0-9_-]+|\"[^\"\\\n]*\"|'[^'\n]*')"
KEYS = re.compile(rf"[ \t]*({KEY}(?:[ \t]*\.[ \t]*{KEY})*)[ \t]*")
ONE_KEY = re.compile(KEY)
GAP = re.compile(r"[ \t]*")
_LOOSE = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_TEXT = re.compile(
    r'"""(?:[^"\\]|\\[^\0]|"{1,2}(?!"))*"""'
    r"|'''(?:[^']|'{1,2}(?!'))*'''"
    r'|"(?:[^"\\\n\r]|\\(?:[btnfr"\\]|u[0-9a-fA-F]{4}))*"'
    r"|'[^'\n\r]*'"
)
_PLAIN = re.compile(
    r"(?:true|false|0(?:x[0-9A-Fa-f](?:_?[0-9A-Fa-f])*|o[0-7](?:_?[0-7])*|b[01](?:_?[01])*)"
    r"|[+-]?(?:inf|nan|(?:0|[1-9](?:_?[0-9])*)(?:\.[0-9](?:_?[0-9])*)?"
    r"(?:[eE][+-]?[0-9](?:_?[0-9])*)?))(?![^\s,\]}#])"
)
_TO_COMMA = re.compile(r"[^,\]}\n#]*")
_NEW_STATEMENT = re.compile(rf"[ \t]*(?:{KEYS.pattern}=|\[\[?[ \t]*[A-Za-z])")


class Spot(NamedTuple):
    """Where something stands: its line, and its start and end in the text."""

    line: int
    start: int
    end: int


class Slip(Exception):  # noqa: N818 - it becomes one line of a fault, not an error
    """What keeps one line from being read, and where the look may go on."""

    def __init__(self, wrong: str, right: str, resume: int | None = None) -> None:
        self.wrong, self.right, self.resume = wrong, right, resume
        super().__init__(wrong, right, resume)


def words_of(keys: str) -> list[str]:
    """Return the words of a dotted key, without their quotation marks.

    >>> words_of('pedal . "brake"')
    ['pedal', 'brake']
    """
    return [word.strip("\"'") for word in ONE_KEY.findall(keys)]


def line_starts(text: str) -> list[int]:
    """Return where each line of a text starts."""
    return [0, *(found.end() for found in re.finditer("\n", text))]


class Spans:
    """The values of one text; ``spots`` gathers where each stands."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.spots: dict[At, Spot] = {}
        self._starts = line_starts(text)

    def line(self, pos: int) -> int:
        """Return the line of a place in the text, from 1."""
        return bisect_right(self._starts, pos)

    def line_end(self, pos: int) -> int:
        """Return where the line of a place ends, before its line feed."""
        line = self.line(pos)
        return self._starts[line] - 1 if line < len(self._starts) else len(self.text)

    def value(self, pos: int, at: At, key: str = "", depth: int = 0) -> int:
        """Return where the value that starts at ``pos`` ends; note it under ``at``."""
        if depth > DEEPEST:
            raise Slip("brackets within brackets within brackets.", FEW)
        first = self.text[pos : pos + 1]
        if first == "[":
            end = self._array(pos + 1, at, depth)
        elif first == "{":
            end = self._inline(pos + 1, at, depth)
        else:
            found = _PLAIN.match(self.text, pos) or _TEXT.match(self.text, pos)
            if not found:
                raise self._no_value(pos, key, depth)
            end = found.end()
            if first not in ('"', "'") and end - pos > LONGEST:
                raise Slip("this number has too many digits.", "Is a space astray?")
        self.spots[at] = Spot(self.line(pos), pos, end)
        return end

    def _no_value(self, pos: int, key: str, depth: int) -> Slip:
        if depth and self.text[pos : pos + 1] not in ('"', "'"):
            return Slip(*slips.value(self._to_comma(pos)))
        raw = self.text[pos : self.line_end(pos)].strip()
        return Slip(*slips.value(raw, "" if depth else key))

    def _array(self, pos: int, at: At, depth: int) -> int:
        count = 0
        opened = pos
        while True:
            pos = self._over_lines(pos, opened)
            if self.text[pos] == "]":
                return pos + 1
            start = pos
            pos = self._over_lines(self.value(pos, (*at, count), "", depth + 1), opened)
            count += 1
            if self.text[pos] == ",":
                pos += 1
            elif self.text[pos] != "]":
                raise Slip(*slips.value(self._to_comma(start)))

    def _to_comma(self, pos: int) -> str:
        found = _TO_COMMA.match(self.text, pos)
        return found[0].strip() if found else ""

    def _over_lines(self, pos: int, opened: int) -> int:
        """Return the next place that holds something; an array may span lines."""
        end = _end(_LOOSE, self.text, pos)
        fresh = self.text.rfind("\n", pos, end) + 1
        lost = fresh > 0 and _NEW_STATEMENT.match(self.text, fresh)
        if lost or end >= len(self.text):
            raise Slip(
                "a [ is opened here and never closed.",
                "Put the ] behind the last value.",
                self.line_end(opened),
            )
        return end

    def _inline(self, pos: int, at: At, depth: int) -> int:
        pos = _end(GAP, self.text, pos)
        if self.text.startswith("}", pos):
            return pos + 1
        seen: set[At] = set()
        while True:
            pos = self._pair(pos, at, depth, seen)
            if self.text.startswith("}", pos):
                return pos + 1
            if not self.text.startswith(",", pos):
                raise self._broken_table(pos)
            pos = _end(GAP, self.text, pos + 1)
            if self.text.startswith("}", pos):
                raise Slip("a comma stands before the }.", "Take that comma out.")

    def _pair(self, pos: int, at: At, depth: int, seen: set[At]) -> int:
        found = KEYS.match(self.text, pos)
        if not found or not self.text.startswith("=", found.end()):
            raise self._broken_table(pos)
        words = words_of(found[1])
        if len(words) > DEEPEST:
            raise Slip("this key has too many words.", FEW)
        inner = (*at, *words)
        above = {inner[:size] for size in range(len(at) + 1, len(inner))}
        if inner in seen or any((*place, 0) in seen for place in above):
            raise Slip(f"{inner[-1]} stands twice between the braces.", "Keep one.")
        seen |= {inner, (*inner, 0), *above}
        start = _end(GAP, self.text, found.end() + 1)
        stop = self.value(start, inner, str(inner[-1]), depth + 1)
        pos = _end(GAP, self.text, stop)
        if self.text[pos : pos + 1] not in ("", ",", "}", "#", "\r", "\n"):
            raise Slip(*slips.value(self._to_comma(start)))
        return pos

    def _is_fresh(self, pos: int) -> bool:
        """Return True where a line ends within braces and the next is its own.

        No comma asks for more, and what follows closes no more than it opens.
        """
        fresh = _end(_LOOSE, self.text, pos)
        line = self.text[fresh : self.line_end(fresh)]
        own = line.count("}") <= line.count("{")
        asks = self.text[:pos].rstrip()[-1:] in ("{", ",")
        return own and not asks and bool(_NEW_STATEMENT.match(self.text, fresh))

    def _broken_table(self, pos: int) -> Slip:
        """Return why a table between braces goes wrong at ``pos``."""
        rest = self.text[pos : self.line_end(pos)].strip()
        if rest and not rest.startswith("#"):
            shown = self._to_comma(pos)
            if ":" in shown:
                return Slip(*line_slips.no_equals(shown))
            if _COMMA.search(self.text[max(0, pos - 9) : pos]) and shown.isdecimal():
                return Slip(
                    f"{shown} stands alone after a comma between the braces.",
                    'A decimal has a point: "245.5".',
                )
            words = re.match(r"([A-Za-z]+) ([A-Za-z]+)\s*=", shown)
            if words:
                joined = f"{words[1]}_{words[2]}"
                wrong = f"{words[1]} {words[2]} is more than one word."
                return Slip(wrong, f"A key is one word: {joined} = ...")
            pair = re.match(r"([A-Za-z_]+)\s+([\"\d{\[].*)", shown)
            if pair:
                return Slip(
                    "an equals sign is missing.", f"Write {pair[1]} = {pair[2]}"
                )
            return Slip(
                f"{shown or rest[:20]} cannot be read between the braces.",
                "Write them as { back = 118, up = 546 }.",
            )
        close = self.text.find("}", pos)
        if (
            close < 0
            or self._is_fresh(pos)
            or re.search(r"\n[ \t]*\[", self.text[pos:close])
        ):
            return Slip(
                "a { is opened here and never closed.", "Put the } on this line."
            )
        return Slip(
            "what stands between { and } has to stand on one line.",
            "Pull the lines together, up to the }.",
            self.line_end(close),
        )


#: What stands before the second half of a number with a comma for its point.
_COMMA = re.compile(r"\d,[ \t]*\Z")


def _end(pattern: re.Pattern[str], text: str, pos: int) -> int:
    found = pattern.match(text, pos)
    return found.end() if found else pos
