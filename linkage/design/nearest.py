"""The nearest known word to one that is not known."""

import difflib
from collections.abc import Iterable

#: Of a longer word only so much is compared.
_LONGEST = 60


def nearest(word: str, known: Iterable[str], cutoff: float = 0.6) -> str | None:
    """Return the known word that was most likely meant; case and dashes do not count.

    >>> nearest("PIVOT", ["pad", "pivot"]), nearest("Free-Play", ["free_play"])
    ('pivot', 'free_play')
    >>> nearest("colour", ["pad", "pivot"])
    """
    plain = {_plain(each): each for each in reversed(tuple(known))}
    near = difflib.get_close_matches(_plain(word), list(plain), n=1, cutoff=cutoff)
    return plain[near[0]] if near else None


def _plain(word: str) -> str:
    return word[:_LONGEST].lower().replace("-", "_")
