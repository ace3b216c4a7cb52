"""Which of many wants fight: sets that are not met while every smaller one is.

The only judge is a search, given as a function of a set; it may miss what there is,
so what comes out is irreducible *under that search*. A set within one that was met is
met, and a set around one that was not is not: neither is asked for again.
"""

from collections.abc import Callable, Iterable

from msgspec import Struct, field

Set = frozenset[int]


class Oracle(Struct):
    """Remembers what a search said of sets.

    Attributes
    ----------
    search : callable
        Tells whether a set of wants was met by one layout.
    left : int
        How many more searches may be made.
    """

    search: Callable[[Set], bool]
    left: int = 200
    met: list[Set] = field(default_factory=list)
    unmet: list[Set] = field(default_factory=list)

    def __call__(self, wants: Iterable[int]) -> bool | None:
        """Return True for met, False for not met, None where no search is left."""
        asked = frozenset(wants)
        if any(asked <= known for known in self.met):
            return True
        if any(asked >= known for known in self.unmet):
            return False
        if self.left <= 0:
            return None
        self.left -= 1
        found = self.search(asked)
        (self.met if found else self.unmet).append(asked)
        return found

    def witness(self, wants: Iterable[int]) -> None:
        """Take note of a set that some layout was seen to meet."""
        asked = frozenset(wants)
        if not any(asked <= known for known in self.met):
            self.met = [known for known in self.met if not known <= asked] + [asked]
            self.unmet = [known for known in self.unmet if not known <= asked]


def shrink(oracle: Oracle, wants: Iterable[int]) -> Set | None:
    """Return an irreducible set within one that was not met.

    Each member is left out in turn, the last first, so that what stands first stays.

    Returns
    -------
    frozenset or None
        None where searches ran out.
    """
    kept = frozenset(wants)
    for one in sorted(kept, reverse=True):
        found = oracle(kept - {one})
        if found is None:
            return None
        if not found:
            kept -= {one}
    return kept


def conflicts(oracle: Oracle, wants: Iterable[int], most: int = 6) -> tuple[Set, ...]:
    """Return irreducible sets within one that was not met, the first found first.

    Each further one lacks a member of every one before it on its branch: all there
    are, if searches and ``most`` allow.
    """
    whole = frozenset(wants)
    found: list[Set] = []
    queue: list[Set] = [frozenset()]
    seen: set[Set] = set()
    while queue and len(found) < most:
        without = queue.pop(0)
        known = next((each for each in found if not each & without), None)
        if known is None:
            if oracle(whole - without) is not False:
                continue
            known = shrink(oracle, whole - without)
            if known is None:
                break
            found.append(known)
        for one in sorted(known):
            branch = without | {one}
            if branch not in seen:
                seen.add(branch)
                queue.append(branch)
    return tuple(found)
