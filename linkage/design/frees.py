"""What a design leaves free, and which pedals have to be placed together.

A pedal *uses* every value that its points, its travel and its train rest on, however
far round through named points. Pedals that use a free value in common are one group.
"""

from collections.abc import Iterator, Mapping
from typing import Any

from msgspec import Struct

from linkage.design.circles import graph, points_of
from linkage.design.records import (
    Cartesian,
    Chosen,
    Design,
    OffString,
    Pedal,
    Polar,
    Same,
)
from linkage.design.values import Value


class Group(Struct, frozen=True, kw_only=True):
    """Pedals that are placed together.

    Attributes
    ----------
    pedals : tuple of str
        In the order of the file.
    frees : tuple of Value
        Free values in file order.
    picks : tuple of Value or Chosen
        Choices, of numbers and of names.
    """

    pedals: tuple[str, ...]
    frees: tuple[Value, ...]
    picks: tuple[Value | Chosen, ...]

    @property
    def paths(self) -> tuple[str, ...]:
        """Return the paths of all that is to be filled in."""
        return tuple(each.path for each in (*self.frees, *self.picks))


def groups(design: Design) -> tuple[Group, ...]:
    """Return the pedals of a design, those that share something free together."""
    used = {name: open_paths(design, name) for name in design.pedals}
    found: list[tuple[list[str], set[str]]] = []
    for name, paths in used.items():
        names, together = [name], set(paths)
        for other in [each for each in found if each[1] & together]:
            found.remove(other)
            names, together = other[0] + names, together | other[1]
        found.append((names, together))
    order = list(design.pedals)
    made = [
        _group(design, sorted(names, key=order.index), paths) for names, paths in found
    ]
    return tuple(sorted(made, key=lambda group: order.index(group.pedals[0])))


def _group(design: Design, names: list[str], paths: set[str]) -> Group:
    values = [value for path, value in design.values.items() if path in paths]
    return Group(
        pedals=tuple(names),
        frees=tuple(value for value in values if value.kind == "free"),
        picks=(
            *(value for value in values if value.kind == "choice"),
            *(each for path, each in design.choices.items() if path in paths),
        ),
    )


def open_paths(design: Design, pedal: str) -> set[str]:
    """Return the paths of the free values and choices that a pedal uses."""
    return {
        each.path
        for each in used(design, pedal)
        if isinstance(each, Chosen) or each.kind != "fixed"
    }


def used(design: Design, pedal: str) -> list[Value | Chosen]:
    """Return every value and choice of names that a pedal's motion rests on."""
    owner = design.pedals[pedal]
    names = {name for target in owner.targets for name in target.between}
    return _walk(design, [owner.points, owner.full, owner.train, owner.bar, *names])


#: What places a point of a part that the file does not give itself: a seat by face and
#: depth, an input by its rod.
_FOLLOWS = {"seat": ("axis", "depth", "proud", "rod"), "input": ("rod",)}


def rests_on(design: Design, name: str) -> list[Value | Chosen]:
    """Return all that places the point of a canonical name, and nothing else.

    However far round through named points; what a chosen name stands for is among it.
    """
    edges = graph(design.pedals, design.points)
    found: dict[str, Value | Chosen] = {}
    seen: set[str] = set()
    queue = [name]
    while queue:
        here = queue.pop()
        if here not in seen:
            seen.add(here)
            queue += edges.get(here, ())
            found |= {each.path: each for each in _within(_forms(design, here))}
    return list(found.values())


def _forms(design: Design, name: str) -> list[Any]:
    """Return the records that say where one point is."""
    pedal, _, rest = name.partition(".")
    if pedal == "point":
        return [design.points[rest]]
    owner = design.pedals[pedal]
    if rest in owner.points:
        return [owner.points[rest]]
    part = owner.part_of(rest)
    key = rest.removeprefix(f"{part.label}.")
    own = points_of(part).get(key)
    follows = [getattr(part, word, None) for word in _FOLLOWS.get(key, ())]
    return follows if own is None else [own, *(follows if key == "input" else ())]


def _within(records: list[Any]) -> Iterator[Value | Chosen]:
    """Return every value and choice in some records, names not followed."""
    queue = list(records)
    while queue:
        item = queue.pop()
        if isinstance(item, Value | Chosen):
            yield item
        elif item is not None:
            queue += _children(item)


def _walk(design: Design, start: list[Any]) -> list[Value | Chosen]:
    found: dict[str, Value | Chosen] = {}
    seen: set[str] = set()
    queue = list(start)
    while queue:
        item = queue.pop()
        if isinstance(item, str):
            if item not in seen:
                seen.add(item)
                queue += _named(design, item)
            continue
        if isinstance(item, Value | Chosen):
            found[item.path] = item
        queue += _names(item)
        queue += _children(item)
    return list(found.values())


def _named(design: Design, name: str) -> list[Any]:
    """Return the records behind a canonical name."""
    pedal, _, rest = name.partition(".")
    if pedal == "point":
        return [design.points[rest]]
    owner: Pedal = design.pedals[pedal]
    if rest in owner.points:
        return [owner.points[rest]]
    return [owner.points, owner.train]


def _names(item: Any) -> Iterator[str]:
    """Return the names that a form of a point counts from."""
    match item:
        case Cartesian(base=base) if base is not None:
            yield base
        case Polar(base=base, off=off):
            yield base
            if off is not None:
                yield off
        case OffString(start=start, end=end):
            yield from (start, end)
        case Same(base=base):
            yield base
        case Chosen(options=options):
            yield from options


def _children(item: Any) -> list[Any]:
    """Return the records within a record."""
    if isinstance(item, Mapping):
        return list(item.values())
    if isinstance(item, tuple):
        return [each for each in item if not isinstance(each, str)]
    if isinstance(item, Struct) and not isinstance(item, Value):
        inner = [getattr(item, name) for name in item.__struct_fields__]
        return [each for each in inner if _holds(each)]
    return []


def _holds(item: Any) -> bool:
    return isinstance(item, Struct | Mapping | tuple)
