"""Which pedals rest on which numbers of a design, and what is kept while it stays."""

from collections.abc import Iterable
from typing import Generic, TypeVar

from linkage.design.frees import used
from linkage.design.records import Chosen, Design

Thing = TypeVar("Thing")


class Kept(Generic[Thing]):
    """Things by name that hold while a design is the same object.

    Those of the last few designs, each in each units, are kept; older ones are let go.
    """

    def __init__(self, most: int = 4) -> None:
        self._most = most
        self._held: list[tuple[Design, str, dict[str, Thing]]] = []

    def of(self, design: Design, units: str = "") -> dict[str, Thing]:
        """Return what is kept for a design; empty for one not seen yet."""
        for held, key, things in self._held:
            if held is design and key == units:
                return things
        things = {}
        self._held = [*self._held[-self._most + 1 :], (design, units, things)]
        return things


_USED: Kept[frozenset[str]] = Kept()


def pedals_touched(design: Design, paths: Iterable[str]) -> frozenset[str]:
    """Return the pedals whose picture changes with some numbers of the file."""
    known = _USED.of(design)
    if not known:
        for name in design.pedals:
            known[name] = _paths(design, name)
    moved = frozenset(paths)
    car = any(path.startswith("footwell.") for path in moved)
    return frozenset(name for name, paths in known.items() if car or paths & moved)


def _paths(design: Design, pedal: str) -> frozenset[str]:
    """Return every path on which a pedal rests; names of points have none."""
    found = {each.path for each in used(design, pedal) if not isinstance(each, Chosen)}
    own = {path for path in design.values if path.startswith(f"{pedal}.")}
    return frozenset(found | own)
