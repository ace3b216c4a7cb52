"""Change some spots of a text and leave every other character as it is."""

from collections.abc import Iterable
from typing import NamedTuple


class Patch(NamedTuple):
    """Put ``put`` where ``start`` to ``end`` stands now."""

    start: int
    end: int
    put: str


def splice(text: str, patches: Iterable[Patch]) -> str:
    """Return ``text`` with patches put in; they do not overlap.

    >>> splice("pivot = 5 # keep", [Patch(8, 9, "12")])
    'pivot = 12 # keep'
    """
    pieces, done = [], 0
    for patch in sorted(patches):
        pieces += [text[done : patch.start], patch.put]
        done = patch.end
    return "".join([*pieces, text[done:]])
