"""One single change that cures a fail: an estimate, and then really tried.

The exact derivatives of the value say by how much each number of the pedal would have
to move; the nearest such number is moved so far, up to a mark that can be made, and
the pedal is looked at again. What does not cure is not proposed.
"""

import math
from collections.abc import Callable, Iterator, Mapping

from linkage.design.stock import BORES
from linkage.design.values import Value
from linkage.findings.facts import Facts
from linkage.findings.records import Change, Check, Measured
from linkage.limits.bands import Limit, Verdict
from linkage.units import BY_NAME, INCH, Measure

#: How a number is judged: (check, facts) -> what is found and how it stands.
Judge = Callable[[Check, Facts], tuple[Measured | None, Verdict]]
#: (numbers by path, whether to look at what stands in its way) -> a layout; None where
#: it cannot stand.
Layout = Callable[[Mapping[str, float], bool], Facts | None]

#: How dear it is to move a number, by the first word of its path in the pedal, from the
#: last to the first to be thought of; a bore is bought.
DEAR = {"travel": 0.5, "full": 0.5, "clevis": 1.0, "holes": 1.0, "train": 1.0}
_DEARER = 3.0
#: What the metal of a bought part has, and nobody moves.
BOUGHT = ("depth", "proud", "stroke", "gland", "turn", "slack", "pull", "thick")
PLATE = ("wide", "high", "lean", "spacing", "shift")
#: The only limit that a rod's gap is set for.
GAP = "rod gap"
#: Farther than this, mm, or rad, nothing is moved; an angle counts as so many mm.
FAR, FAR_ANGLE, PER_RADIAN = 50.0, 0.35, 60.0
#: Of a pedal's travel no more is given or taken: it would be another pedal.
OF_TRAVEL = 0.5
#: Marks that can be made, mm and rad; stock steps of a bore (1/16 in).
MARK, MARK_ANGLE, STEP = 0.5, math.radians(0.5), float(INCH / 16)
#: mm.
STOCK = tuple(BORES.values())
#: How many numbers are tried, and how often each is set anew.
TRIED, AGAIN = 5, 4


def cure(
    check: Check,
    facts: Facts,
    got: Measured,
    *,
    judge: Judge,
    layout: Layout,
    others: Callable[[Facts], tuple[str, ...]],
) -> Change | None:
    """Return the nearest single change that cures a fail; None where none was found.

    Parameters
    ----------
    others : callable
        Facts -> names of the checks of the layout that fail there.
    """
    if check.slopes is None or got.value is None:
        return None
    before = set(others(facts))
    spoiling: Change | None = None
    for path in _nearest(check, facts, got):
        change = _tried(check, facts, got, path, judge=judge, layout=layout)
        if change is None:
            continue
        broken = _broken(facts, change, layout, others, before)
        found = Change(
            path=path,
            now=change.now,
            new=change.new,
            value=change.value,
            verdict=change.verdict,
            breaks=broken,
        )
        if not broken:
            return found
        spoiling = spoiling or found
    return spoiling


def _broken(
    facts: Facts,
    change: Change,
    layout: Layout,
    others: Callable[[Facts], tuple[str, ...]],
    before: set[str],
) -> tuple[str, ...]:
    """Return what a change breaks; what stands in the way is looked at last."""
    values = {**facts.values, change.path: change.new}
    for look in (False, True):
        there = layout(values, look)
        broken = tuple(n for n in others(there) if n not in before) if there else ()
        if broken:
            break
    return broken


def aim_of(check: Check, facts: Facts, value: float) -> float:
    """Return the value that a change aims at: the nearest that is ok."""
    limit = limit_of(check, facts)
    return 0.0 if limit is None else limit.nearest_ok(value)


def limit_of(check: Check, facts: Facts) -> Limit | None:
    """Return the limit of a check; None for a rule without one."""
    return check.band or facts.rules.limits.get(check.limit)


def _nearest(check: Check, facts: Facts, got: Measured) -> Iterator[str]:
    """Yield the paths that may be moved, the nearest first."""
    slopes = check.slopes(facts, got) if check.slopes else {}
    value = got.value or 0.0
    step = aim_of(check, facts, value) - value
    rows = []
    for path, slope in slopes.items():
        given = facts.design.values.get(path)
        if given is None or not _may_move(check, facts, path, given):
            continue
        size = abs(step / slope) * (PER_RADIAN if _is_angle(given) else 1.0)
        word = path.split(".")[1]
        rows.append((size * DEAR.get(word, _DEARER), path))
    yield from (path for size, path in sorted(rows)[:TRIED] if size <= FAR * _DEARER)


def _may_move(check: Check, facts: Facts, path: str, given: Value) -> bool:
    word = path.rpartition(".")[2]
    if word == "free_play" and check.limit != GAP:
        return False
    point = path.partition(".")[2].split(".")[0]
    return (
        given.kind == "fixed"
        and word not in (*BOUGHT, *PLATE)
        and ".arm." not in path
        and ".spring." not in path
        and f"{facts.pedal.name}.{point}" not in facts.pedal.locked
    )


def _is_angle(given: Value) -> bool:
    return BY_NAME[given.unit].measure is Measure.ANGLE


def _tried(
    check: Check,
    facts: Facts,
    got: Measured,
    path: str,
    *,
    judge: Judge,
    layout: Layout,
) -> Change | None:
    """Move one number until the check is ok, or at least fails no more."""
    given = facts.design.values[path]
    now = facts.values.get(path, given.nominal)
    here, found, new = facts, got, now
    best: Change | None = None
    for _ in range(AGAIN):
        slope = check.slopes(here, found).get(path) if check.slopes else None
        if not slope or found.value is None:
            break
        moved = _marked(
            new, (aim_of(check, here, found.value) - found.value) / slope, given
        )
        if moved == new or _too_far(moved - now, given):
            break
        new = moved
        there = layout({**facts.values, path: new}, facts.touch is not None)
        measured, verdict = judge(check, there) if there else (None, "fail")
        if there is None or measured is None:
            break
        if verdict != "fail":
            best = Change(
                path=path, now=now, new=new, value=measured.value, verdict=verdict
            )
        if verdict == "ok":
            break
        here, found = there, measured
    return best


def _too_far(step: float, given: Value) -> bool:
    if given.path.split(".")[1] in ("travel", "full"):
        return abs(step) > OF_TRAVEL * given.nominal
    return abs(step) > (FAR_ANGLE if _is_angle(given) else FAR)


def _marked(now: float, step: float, given: Value) -> float:
    """Return where a number comes to, rounded past the aim to what can be marked."""
    if given.path.endswith(".bore"):
        return _stock(now, step)
    mark = MARK_ANGLE if _is_angle(given) else MARK
    if given.unit == "in":
        mark = float(INCH / 32)
    marks = (now + step) / mark
    whole = math.ceil(marks - 1e-6) if step > 0.0 else math.floor(marks + 1e-6)
    return whole * mark


def _stock(now: float, step: float) -> float:
    """Return the nearest bore that is sold past now + step; now where there is none."""
    if step > 0.0:
        return min((bore for bore in STOCK if bore >= now + step), default=now)
    return max((bore for bore in STOCK if bore <= now + step), default=now)
