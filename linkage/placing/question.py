"""Whether a design asks anything that can be answered, and which pedals it is about."""

from linkage.design.frees import Group, groups
from linkage.design.records import Design
from linkage.faults import DesignError, Fault
from linkage.quantities.asked import locked_faults, target_faults


def asking(design: Design) -> tuple[Group, ...]:
    """Return the groups of pedals that have something free and a target."""
    return tuple(
        group
        for group in groups(design)
        if group.paths and any(design.pedals[name].targets for name in group.pedals)
    )


def group_of(design: Design, pedal: str | None) -> Group:
    """Return the group of pedals that is to be placed.

    Raises
    ------
    DesignError
        With every reason why it cannot be.
    """
    group = _asked(design, pedal)
    faults = [
        fault
        for name in group.pedals
        for fault in (
            *target_faults(design, design.pedals[name]),
            *locked_faults(design, design.pedals[name]),
        )
    ]
    if faults:
        raise DesignError(faults)
    return group


def _asked(design: Design, pedal: str | None) -> Group:
    if pedal is None:
        found = asking(design)
        if len(found) == 1:
            return found[0]
        if found:
            names = ["+".join(group.pedals) for group in found]
            wrong = f"{', '.join(names)} share nothing free: each is placed apart."
            right = f"Say which: --pedal {' or --pedal '.join(_firsts(found))}."
            raise _error(design, 0, "--pedal", wrong, right)
        every = groups(design)
        raise _nothing(design, *([g for g in every if g.paths] or every))
    if pedal not in design.pedals:
        wrong = f'there is no pedal "{pedal}".'
        right = f"This file has: {', '.join(design.pedals)}."
        raise _error(design, 0, "--pedal", wrong, right)
    group = next(each for each in groups(design) if pedal in each.pedals)
    if group not in asking(design):
        raise _nothing(design, group)
    return group


def _firsts(found: tuple[Group, ...]) -> list[str]:
    return [group.pedals[0] for group in found]


def _nothing(design: Design, *found: Group) -> DesignError:
    """Return what is missing, pedal by pedal, where there is nothing to place."""
    return DesignError(
        [
            Fault(
                file=design.file,
                line=design.pedals[name].line,
                key=f"pedal.{name}",
                wrong=wrong,
                right=right,
            )
            for group in found
            for name in group.pedals
            for wrong, right in [_lack(name, group)]
        ]
    )


def _lack(name: str, group: Group) -> tuple[str, str]:
    if not group.paths:
        return (
            "nothing in it is free: every number is one number.",
            'Write a range where it may move: pivot = ["100 to 150 near 118", 545].',
        )
    return (
        "it has free values and no target to place them by.",
        f'Write [[pedal.{name}.target]], of = "stroke", at = "full", is = 24, say.',
    )


def _error(design: Design, line: int, key: str, wrong: str, right: str) -> DesignError:
    return DesignError(
        [Fault(file=design.file, line=line, key=key, wrong=wrong, right=right)]
    )
