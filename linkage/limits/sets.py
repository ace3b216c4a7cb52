"""The limits that a design is checked by: a set, and what its file sets anew."""

from collections.abc import Mapping

from msgspec import Struct
from msgspec.structs import replace

from linkage.design.rule_records import ENDS, Anew, Rules, SetName
from linkage.limits.bands import Limit
from linkage.limits.road import ROAD
from linkage.limits.student import EDITION, OLDER, STUDENT


class RuleSet(Struct, frozen=True, kw_only=True):
    """Limits by name.

    Attributes
    ----------
    name, edition : str
        The edition is empty for the road, which has many.
    own : tuple of str
        Those that the file sets anew.
    """

    name: SetName
    edition: str
    limits: Mapping[str, Limit]
    own: tuple[str, ...]


#: The sets of rules, by name: limits by theirs.
LIMIT_SETS: Mapping[SetName, Mapping[str, Limit]] = {
    "road": {limit.name: limit for limit in ROAD},
    "student": {limit.name: limit for limit in (*ROAD, *STUDENT)},
}
EDITIONS: Mapping[SetName, str] = {
    "road": "",
    "student": f"{EDITION}; wheels locked: {OLDER}",
}


def rule_set(rules: Rules) -> RuleSet:
    """Return what a file asks to be checked by."""
    limits = dict(LIMIT_SETS[rules.set])
    for each in rules.anew:
        limits[each.of] = anew(limits.get(each.of), each)
    return RuleSet(
        name=rules.set,
        edition=EDITIONS[rules.set],
        limits=limits,
        own=tuple(each.of for each in rules.anew),
    )


def anew(limit: Limit | None, given: Anew) -> Limit:
    """Return a limit with the ends that a file sets.

    An end of what is ok that stands alone is the end of what may be borne too: past a
    limit of one's own it fails. A limit that the set has not begins without ends.
    """
    ends = {end: value.nominal for end, value in given.ends.items()}
    for end, beyond in (("least", "fail_under"), ("most", "fail_over")):
        if end in ends:
            ends.setdefault(beyond, ends[end])
        elif beyond in ends and limit is not None:
            inner = max if end == "least" else min
            ends[end] = inner(getattr(limit, end), ends[beyond])
    bare = limit or Limit(name=given.of, kind="own", source="")
    kept = {end: ends.get(end, getattr(bare, end)) for end in ENDS}
    return replace(
        bare,
        **_in_order(kept, set(ends)),
        kind="own",
        source="the file's own",
        reason=given.reason,
    )


def _in_order(ends: dict[str, float], given: set[str]) -> dict[str, float]:
    """Return ends in order: those of the set give way to those of the file."""
    low = max((ends[end] for end in ("fail_under", "least") if end in given), default=0)
    top = min((ends[end] for end in ("most", "fail_over") if end in given), default=0)
    for end in {"fail_under", "least"} - given:
        ends[end] = min(ends[end], top) if given & {"most", "fail_over"} else ends[end]
    for end in {"most", "fail_over"} - given:
        ends[end] = (
            max(ends[end], low) if given & {"least", "fail_under"} else ends[end]
        )
    return ends
