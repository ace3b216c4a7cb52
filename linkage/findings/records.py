"""The records of a check: what it measures, what is found, and one change that cures.

Values are internal (mm, rad, N, MPa, s); who speaks of them turns them into people's
units.
"""

from collections.abc import Callable, Mapping
from typing import Literal

from msgspec import Struct

from linkage.findings.facts import Facts
from linkage.limits.bands import Limit, Verdict
from linkage.units import Measure


class Lack(Struct, frozen=True, kw_only=True):
    """Why something is not checked: what is missing, and which key would give it.

    Attributes
    ----------
    what : str
        One sentence.
    give : str
        The key and its table, as they are typed; empty where this program does not
        work it out.
    """

    what: str
    give: str = ""


Bound = Literal["", "at least", "at most"]


class Measured(Struct, frozen=True, kw_only=True):
    """What a check found.

    Attributes
    ----------
    value : float or None
        None where it cannot be had at all, which is a fail.
    bound : {"", "at least", "at most"}
        Of a value that is no more than known so far.
    at : float or None
        The travel of the pad it belongs to, mm.
    working : str
        The formula with its numbers put in; mm, deg, N, MPa.
    note : str
        What it leaves out or could not have.
    leans : tuple of str
        Paths of the guesses it leans on.
    verdict : Verdict or None
        Of a check without a band: a rule that holds or not.
    wanted : str
        What such a rule wants.
    """

    value: float | None = None
    bound: Bound = ""
    at: float | None = None
    working: str = ""
    note: str = ""
    leans: tuple[str, ...] = ()
    verdict: Verdict | None = None
    wanted: str = ""


Slopes = Mapping[str, float]


class Check(Struct, frozen=True, kw_only=True, eq=False):
    """One check of the register.

    Attributes
    ----------
    name : str
        What people call it.
    law : callable
        Facts -> Measured or Lack.
    why : str
        What happens where it does not hold: one sentence.
    limit : str
        The name of its limit; empty for a rule without a band.
    for_pedal : callable
        Facts -> whether it is about such a pedal at all.
    slopes : callable or None
        (Facts, Measured) -> exact derivatives of the value, by path.
    band : Limit or None
        Of what is wanted, where that is no limit of the rules.
    source, measure : str, Measure
        Where no limit of the rules says so.
    moves : bool
        True where a change of the layout may break it and looking again is cheap: so
        it is looked at wherever one is tried.
    """

    name: str
    law: Callable[[Facts], Measured | Lack]
    why: str = ""
    limit: str = ""
    for_pedal: Callable[[Facts], bool] = lambda _: True
    slopes: Callable[[Facts, Measured], Slopes] | None = None
    band: Limit | None = None
    source: str = ""
    measure: Measure = Measure.PURE
    moves: bool = False


class Change(Struct, frozen=True, kw_only=True):
    """One single change that was tried and cures a fail.

    Attributes
    ----------
    path : str
        Of the number in the file.
    now, new : float
        Internal units.
    value : float or None
        What the check finds then.
    verdict : Verdict
        And how it is judged.
    breaks : tuple of str
        Names of checks of the layout that fail then and do not now.
    """

    path: str
    now: float
    new: float
    value: float | None
    verdict: Verdict
    breaks: tuple[str, ...] = ()


class Finding(Struct, frozen=True, kw_only=True):
    """One finding: a check with its answer.

    Attributes
    ----------
    pedal, name : str
    verdict : Verdict
    measure : Measure
    measured : Measured or None
        None where it is not checked.
    limit : Limit or None
        None for a rule without a band, or one that this set has not.
    lack : Lack or None
    why, source : str
    change : Change or None
    """

    pedal: str
    name: str
    verdict: Verdict
    measure: Measure
    measured: Measured | None = None
    limit: Limit | None = None
    lack: Lack | None = None
    why: str = ""
    source: str = ""
    change: Change | None = None


#: Graver things first.
ORDER: tuple[Verdict, ...] = ("fail", "caution", "ok", "not checked")


class Report(Struct, frozen=True, kw_only=True, eq=False):
    """All findings of some pedals of a design, the gravest first.

    Attributes
    ----------
    rules, edition : str
    own : tuple of Limit
        Limits that the file sets anew.
    free : tuple of str
        Paths of what is still free.
    findings : tuple of Finding
    guesses : mapping of str to tuple of (str, str)
        By path: what is said or taken, and which findings lean on it.
    """

    rules: str
    edition: str
    own: tuple[Limit, ...]
    free: tuple[str, ...]
    findings: tuple[Finding, ...]
    guesses: Mapping[str, tuple[str, tuple[str, ...]]]

    def count(self, verdict: Verdict) -> int:
        """Return how many findings have a verdict."""
        return sum(each.verdict == verdict for each in self.findings)
