"""The names of points: what there is, and which of it a word in the file means.

A *canonical* name is ``brake.pivot``, ``brake.holes.lower``, ``brake.train.2.output``
or ``point.shaft``. Names are gathered from the file before anything is read, so that
a point may be counted from one that stands further down.
"""

import difflib
import re
from collections.abc import Iterator, Mapping
from typing import Any

from msgspec import Struct, field

from linkage.design.keys import Form
from linkage.design.records import Part
from linkage.design.spans import At

#: What a name may be made of; a dot parts the words of a path.
NAME = re.compile(r"[A-Za-z0-9_-]+")
#: Words that paths are made of: no name of the user's may be one of them.
TAKEN = ("pivot", "pad", "clevis", "holes", "train", "point", "own")

#: Among so many names the nearest is looked for.
PATIENCE = 200

Kinds = Mapping[str, type[Part]]


class Names(Struct, frozen=True):
    """The points of a file.

    Attributes
    ----------
    pedals : dict
        By pedal: what a name within it stands for, canonical without the pedal.
    shared : tuple of str
        The names under ``[point]``.
    """

    pedals: dict[str, dict[str, str]] = field(default_factory=dict)
    shared: tuple[str, ...] = ()

    def find(self, name: str, pedal: str = "", part: int | str = 0) -> str | None:
        """Return the canonical name of what ``name`` means in a part or pedal."""
        words = name.split()
        if len(words) == 2 and words[0] == "own":
            own = f"train.{part}.{words[1]}"
            return f"{pedal}.{own}" if own in self.pedals.get(pedal, {}) else None
        if name in self.pedals.get(pedal, {}):
            return f"{pedal}.{self.pedals[pedal][name]}"
        if name.removeprefix("point.") in self.shared:
            return f"point.{name.removeprefix('point.')}"
        other, _, rest = name.partition(".")
        if rest in self.pedals.get(other, {}):
            return f"{other}.{self.pedals[other][rest]}"
        return None

    def place(self, name: str, pedal: str = "", part: int | str = 0) -> At:
        """Return where in the file a point of that name would stand."""
        words = name.split()
        if len(words) == 2 and words[0] == "own":
            return ("pedal", pedal, "train", *_steps(part), words[1])
        other, _, rest = name.partition(".")
        if other in self.pedals and rest:
            return ("pedal", other, rest)
        return ("pedal", pedal, name)

    def known(self, pedal: str = "", part: int | str = 0) -> list[str]:
        """Return the names that mean something in a part or pedal."""
        here = self.pedals.get(pedal, {})
        own = f"train.{part}."
        names = [f"own {n.removeprefix(own)}" for n in here if n.startswith(own)]
        names += [n for n in _short(here) if not here[n].startswith(own)]
        names += list(self.shared)
        return names + [
            f"{other}.{name}"
            for other, points in self.pedals.items()
            if other != pedal
            for name in _short(points)
        ]

    def unknown(
        self, name: str, pedal: str = "", part: int | str = 0
    ) -> tuple[str, str]:
        """Return the sentence for a name that means nothing here."""
        known = self.known(pedal, part)
        near = difflib.get_close_matches(name[:60], known[:PATIENCE], n=1)
        nearest = f'Nearest: "{near[0]}". ' if near else ""
        listed = ", ".join(known[:24]) + (" ..." if len(known) > 24 else "")
        shown = name if len(name) <= 40 else f"{name[:40]}..."
        wrong = f'there is no point "{shown}" here.'
        if not known:
            return wrong, "Write pivot = [120, 545] under its pedal first, say."
        return wrong, f"{nearest}Known: {listed}."


def _steps(part: int | str) -> At:
    """Return where a part stands within its train: ``(0,)``, ``(0, "front", 0)``."""
    words = str(part).split(".")
    return tuple(int(word) - 1 if word.isdecimal() else word for word in words)


def _short(points: Mapping[str, str]) -> list[str]:
    """Return the shortest name of each point."""
    best: dict[str, str] = {}
    for name, path in points.items():
        best[path] = min(best.get(path, name), name, key=len)
    return list(best.values())


def gather(doc: Mapping[str, Any], kinds: Kinds) -> Names:
    """Gather the names of all points of a file, whatever else is wrong with it."""
    pedals = {
        name: _of_pedal(raw, kinds)
        for name, raw in _table(doc.get("pedal")).items()
        if isinstance(raw, dict)
    }
    return Names(pedals, tuple(_table(doc.get("point"))))


def _table(raw: Any) -> Mapping[str, Any]:
    return raw if isinstance(raw, dict) else {}


def _of_pedal(raw: Mapping[str, Any], kinds: Kinds) -> dict[str, str]:
    names = {name: name for name in ("pivot", "pad", "clevis") if name in raw}
    for hole in _table(raw.get("holes")):
        names[f"holes.{hole}"] = f"holes.{hole}"
        names.setdefault(hole, f"holes.{hole}")
    for number, row in _rows(raw.get("train")):
        for label, part in _split(number, row, kinds):
            for point in _of_part(part, kinds):
                path = f"train.{label}.{point}"
                names[path] = path
                if isinstance(part.get("name"), str):
                    names.setdefault(f"{part['name']}.{point}", path)
                    names.setdefault(f"train.{part['name']}.{point}", path)
    return names


def _rows(raw: Any) -> Iterator[tuple[int, Mapping[str, Any]]]:
    rows = raw if isinstance(raw, list) else [raw]
    yield from ((number, _table(row)) for number, row in enumerate(rows, 1))


def _split(
    number: int, row: Mapping[str, Any], kinds: Kinds
) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Yield a part of a train, and those behind it where it splits the train."""
    yield str(number), row
    kind = row.get("part")
    cls = kinds.get(kind) if isinstance(kind, str) else None
    for branch in cls.BRANCHES if cls else ():
        for inner, part in _rows(row.get(branch)):
            yield f"{number}.{branch}.{inner}", part


def _of_part(row: Mapping[str, Any], kinds: Kinds) -> list[str]:
    kind = row.get("part")
    cls = kinds.get(kind) if isinstance(kind, str) else None
    if cls is None:
        return []
    names = list(cls.NAMED)
    for key in cls.KEYS:
        if key.form is Form.POINT and key.name in row:
            names.append(key.name)
        elif key.form is Form.TABLE:
            inner = _table(row.get(key.name))
            names += [
                f"{key.name}.{kid.name}"
                for kid in key.table
                if kid.form is Form.POINT and kid.name in inner
            ]
    return list(dict.fromkeys(names))
