"""Keys and tables of a design file, put in and taken out where they stand.

Every change is a few patches; all else of the text stays to the byte. A *place* is a
path of keys as the line index has it: ``("pedal", "brake", "target", 0, "is")``. What
cannot be done by a small patch (a table that is only implied) gives None.
"""

import re

from linkage.design.lines import look
from linkage.design.spans import GAP, KEY, At, Spot
from linkage.design.splice import Patch

_KEY_BEFORE = re.compile(rf"({KEY})[ \t]*=[ \t]*$")
_STATEMENT = re.compile(rf"([ \t]*(?:{KEY}[ \t]*\.[ \t]*)*){KEY}[ \t]*=")
_COMMA = re.compile(r"[ \t]*,[ \t]*")


class Statements:
    """The statements of one text.

    Attributes
    ----------
    text : str
    spots : mapping of place to Spot
        Of values their own, of tables their heading.
    """

    def __init__(self, text: str) -> None:
        self.text = text
        self.spots = look(text).spots
        self.newline = "\r\n" if "\r\n" in text else "\n"

    def token(self, at: At) -> str | None:
        """Return what stands behind the equals sign of a key; None without one."""
        spot = self.spots.get(at)
        if spot is None or spot.start == spot.end or self._is_heading(spot):
            return None
        return self.text[spot.start : spot.end]

    def find(self, span: tuple[int, int]) -> At | None:
        """Return the place of the value that has just this span."""
        places = (at for at, spot in self.spots.items() if spot[1:] == span)
        return next(places, None)

    def set(self, at: At, put: str) -> Patch | None:
        """Put a value behind a key, which may be new."""
        spot = self.spots.get(at)
        if spot is not None and self.token(at) is not None:
            return Patch(spot.start, spot.end, put)
        return None if spot is not None else self._add(at[:-1], str(at[-1]), put)

    def rename(self, at: At, key: str) -> Patch | None:
        """Call a key otherwise; its value stays."""
        start = self.spots[at].start
        found = _KEY_BEFORE.search(self.text, self._line_start(start), start)
        return Patch(*found.span(1), key) if found else None

    def drop(self, at: At) -> Patch | None:
        """Take a key out with its value, or a table of several with its keys."""
        spot = self.spots.get(at)
        if spot is None:
            return None
        if self._is_heading(spot):
            return self._drop_table(at, spot)
        return (
            self._drop_item(at, spot) if self._is_inner(at) else self._drop_line(spot)
        )

    def append(self, at: At, pairs: dict[str, str]) -> Patch | None:
        """Add one more to the tables that stand at ``at``, behind the last of them."""
        if self.token(at) is not None:
            inline = ", ".join(f"{key} = {put}" for key, put in pairs.items())
            return self.append_item(at, f"{{ {inline} }}")
        kin = self._ends(at) or self._ends(at[:-1])
        if not kin:
            return None
        lines = [f"[[{'.'.join(map(str, at))}]]"]
        lines += [f"{key} = {put}" for key, put in pairs.items()]
        end = self._line_end(max(kin))
        return Patch(end, end, 2 * self.newline + self.newline.join(lines))

    def append_item(self, at: At, put: str) -> Patch | None:
        """Add one more to the end of an array."""
        spot = self.spots[at]
        if not self.text.startswith("[", spot.start):
            return None
        last = [each.end for each in self._children(at)]
        if not last:
            return Patch(spot.start + 1, spot.end - 1, put)
        return Patch(max(last), max(last), f", {put}")

    # ----------------------------------------------------------------- where

    def _is_heading(self, spot: Spot) -> bool:
        start = self._line_start(spot.start)
        blank = not self.text[start : spot.start].strip()
        head = self.text[spot.start : spot.end].lstrip().startswith("[")
        return blank and head and spot.end >= self._line_end(spot.start)

    def _is_inner(self, at: At) -> bool:
        """Return True for what stands within braces or brackets."""
        return any(self.token(at[:size]) is not None for size in range(1, len(at)))

    def _children(self, at: At) -> list[Spot]:
        size = len(at)
        return [
            spot
            for place, spot in self.spots.items()
            if len(place) == size + 1 and place[:size] == at and spot.end > spot.start
        ]

    def _ends(self, at: At) -> list[int]:
        """Return where everything ends that stands at or under a place."""
        size = len(at)
        return [spot.end for place, spot in self.spots.items() if place[:size] == at]

    def _line_start(self, pos: int) -> int:
        return self.text.rfind("\n", 0, pos) + 1

    def _line_end(self, pos: int) -> int:
        """Return where the line of a place ends, before its line end."""
        end = self.text.find("\n", pos)
        end = len(self.text) if end < 0 else end
        return end - 1 if self.text[end - 1 : end] == "\r" else end

    def _next_line(self, pos: int) -> int:
        end = self.text.find("\n", pos)
        return len(self.text) if end < 0 else end + 1

    # ----------------------------------------------------------------- putting in

    def _add(self, table: At, key: str, put: str) -> Patch | None:
        if table and self.token(table) is not None:
            return self._add_inner(table, f"{key} = {put}")
        own = [spot for spot in self._children(table) if not self._is_heading(spot)]
        own = [spot for spot in own if self._is_named(spot)]
        if own:
            last = max(own, key=lambda spot: spot.start)
            start = self._line_start(last.start)
            lead = _STATEMENT.match(self.text, start)
            end = self._line_end(last.end)
            line = f"{lead[1] if lead else ''}{key} = {put}"
            return Patch(end, end, self.newline + line)
        if not table:
            return self._add_first(f"{key} = {put}")
        head = self.spots.get(table)
        if head is None or not self._is_heading(head):
            return None
        end = self._line_end(head.start)
        return Patch(end, end, f"{self.newline}{key} = {put}")

    def _is_named(self, spot: Spot) -> bool:
        start = self._line_start(spot.start)
        return bool(_KEY_BEFORE.search(self.text, start, spot.start))

    def _add_first(self, line: str) -> Patch:
        """Put a statement before all others of the file."""
        starts = [spot.start for spot in self.spots.values()]
        start = self._line_start(min(starts, default=len(self.text)))
        return Patch(start, start, line + self.newline)

    def _add_inner(self, table: At, pair: str) -> Patch | None:
        spot = self.spots[table]
        if not self.text.startswith("{", spot.start):
            return None
        last = [each.end for each in self._children(table)]
        if last:
            return Patch(max(last), max(last), f", {pair}")
        return Patch(spot.start + 1, spot.end - 1, f" {pair} ")

    # ----------------------------------------------------------------- taking out

    def _drop_line(self, spot: Spot) -> Patch:
        return Patch(self._line_start(spot.start), self._next_line(spot.end), "")

    def _drop_table(self, at: At, head: Spot) -> Patch:
        """Take a table out, its heading and keys, and one blank line of two."""
        start = self._line_start(head.start)
        end = self._next_line(max(self._ends(at)))
        before = self._line_start(start - 1) if start else 0
        if start and not self.text[before:start].strip() and self._is_blank(end):
            start = before
        return Patch(start, end, "")

    def _is_blank(self, pos: int) -> bool:
        return not self.text[pos : self._line_end(pos)].strip()

    def _drop_item(self, at: At, spot: Spot) -> Patch:
        """Take one pair or item out from between braces or brackets, and a comma."""
        named = _KEY_BEFORE.search(self.text, self._line_start(spot.start), spot.start)
        start = named.start() if named and isinstance(at[-1], str) else spot.start
        comma = _COMMA.match(self.text, spot.end)
        if comma:
            return Patch(start, comma.end(), "")
        gap = self.text[:start].rstrip()
        if gap.endswith(","):
            return Patch(len(gap) - 1, spot.end, "")
        found = GAP.match(self.text, spot.end)
        return Patch(start, found.end() if found else spot.end, "")
