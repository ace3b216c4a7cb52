"""The cut check: the written bytes, judged as a cutting desk would judge them.

A register of named rules. Each looks at the part as read back and at what was meant,
and returns what is wrong; a part passes when no rule finds anything. The rules are the
demands and complaints of cutting services (READ on about a dozen of their pages), and
of readers that are known to misread what is allowed.
"""

from collections.abc import Callable, Iterator

from msgspec import Struct

from export.dxf_read import DxfError, read_dxf
from linkage.cutting import file_rules, fit_rules, shape_rules
from linkage.cutting.meant import Meant
from linkage.cutting.part import CutPart, part_of

#: Name of the first verdict, on the reading itself.
WHOLE = "whole file"


class Verdict(Struct, frozen=True, kw_only=True):
    """One rule's answer: its name, whether it holds, and a sentence."""

    name: str
    ok: bool
    sentence: str


class Rule(Struct, frozen=True, kw_only=True):
    """A named rule: what to say where it holds, and the function that finds faults."""

    name: str
    good: str
    faults: Callable[[CutPart, Meant], Iterator[str]]


def check_cut(data: bytes, meant: Meant) -> tuple[Verdict, ...]:
    """Read written bytes back and judge them by every rule.

    Parameters
    ----------
    data : bytes
        A whole DXF file.
    meant : Meant

    Returns
    -------
    tuple of Verdict
        One for the reading, then one a rule, in the register's order.
    """
    try:
        part = part_of(read_dxf(data), unit=meant.unit)
    except DxfError as error:
        broken = Verdict(name=WHOLE, ok=False, sentence=f"{error}")
        unread = "not looked at: the file could not be read"
        rest = [Verdict(name=rule.name, ok=False, sentence=unread) for rule in RULES]
        return broken, *rest
    whole = Verdict(name=WHOLE, ok=True, sentence="the file is whole, to its end mark")
    return whole, *(_judge(rule, part, meant) for rule in RULES)


def _judge(rule: Rule, part: CutPart, meant: Meant) -> Verdict:
    faults = [*rule.faults(part, meant)]
    more = f" (and {len(faults) - 1} more)" if len(faults) > 1 else ""
    sentence = faults[0] + more if faults else rule.good
    return Verdict(name=rule.name, ok=not faults, sentence=sentence)


RULES = (
    Rule(
        name="version",
        good="the version is the one asked for",
        faults=file_rules.header,
    ),
    Rule(name="unit", good="both unit entries say the unit", faults=file_rules.unit),
    Rule(
        name="only cuts and marks",
        good="nothing but cut lines and marks, each on its layer",
        faults=file_rules.entities,
    ),
    Rule(name="counts", good="as many entities as meant", faults=file_rules.counts),
    Rule(name="flat", good="all of it lies in the plane", faults=file_rules.flat),
    Rule(
        name="closed", good="every contour is closed exactly", faults=shape_rules.closed
    ),
    Rule(
        name="one outline",
        good="one outline, every hole inside it",
        faults=shape_rules.one_outline,
    ),
    Rule(
        name="no doubles", good="nothing is there twice", faults=shape_rules.no_doubles
    ),
    Rule(
        name="no crossing",
        good="nothing crosses or touches",
        faults=shape_rules.no_crossing,
    ),
    Rule(
        name="true arcs",
        good="arcs are arcs, not short lines",
        faults=shape_rules.true_arcs,
    ),
    Rule(name="no scraps", good="no piece under 0.1 mm", faults=shape_rules.no_scraps),
    Rule(name="smooth", good="no kink at any joint", faults=shape_rules.smooth),
    Rule(
        name="readable arcs",
        good="arcs are written as every reader takes them",
        faults=file_rules.readable_arcs,
    ),
    Rule(name="size", good="the size is the one meant", faults=file_rules.size),
    Rule(
        name="holes meant",
        good="holes and marks where meant",
        faults=fit_rules.holes_meant,
    ),
    Rule(
        name="holes cuttable",
        good="no hole too small for the process",
        faults=fit_rules.holes_cuttable,
    ),
    Rule(
        name="metal",
        good="enough metal between and round holes",
        faults=fit_rules.metal,
    ),
    Rule(
        name="inside radii",
        good="no inside corner too tight",
        faults=fit_rules.inner_radii,
    ),
    Rule(
        name="big enough",
        good="large enough to lie on the slats",
        faults=fit_rules.big_enough,
    ),
)
