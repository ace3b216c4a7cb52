"""What a design asks and cannot have, told from its words alone.

Targets of what a train has not, and welded points that something free would move.
"""

from collections.abc import Iterator

from linkage.design.frees import rests_on
from linkage.design.records import Chosen, Design, Pedal, Target
from linkage.design.values import Value
from linkage.faults import Fault
from linkage.quantities.register import QUANTITIES, is_loaded


def lacking(design: Design, pedal: Pedal, target: Target) -> str | None:
    """Return why a pedal of a design has not what a target is about, or None."""
    lacks = QUANTITIES[target.of].missing(design, pedal, target)
    if lacks or not is_loaded(target):
        return lacks
    from linkage.quantities.loaded import lacks_fluid  # it takes all that a brake takes

    return lacks_fluid(design, pedal, target)


def target_faults(design: Design, pedal: Pedal) -> Iterator[Fault]:
    """Say of each target of a pedal what its train lacks for it."""
    for target in pedal.targets:
        key = f"pedal.{pedal.name}.target {target.number}"
        lacks = lacking(design, pedal, target)
        if lacks:
            wrong = f"{pedal.name} has no {target.of}: {lacks}."
            right = "Take this target out, or add the part that it is about."
            yield Fault(
                file=design.file, line=target.line, key=key, wrong=wrong, right=right
            )


def locked_faults(design: Design, pedal: Pedal) -> Iterator[Fault]:
    """Say of each range and choice that a welded point rests on: it has one place."""
    for name in pedal.locked:
        short = name.removeprefix(f"{pedal.name}.")
        for value in rests_on(design, name):
            if isinstance(value, Value) and value.kind == "fixed":
                continue
            one = "one name" if isinstance(value, Chosen) else "one number"
            yield Fault(
                file=design.file,
                line=value.line,
                key=value.path,
                wrong=f"{short} is locked (welded), and this leaves it free to move.",
                right=f"Write {one}, or take {short} off the locked list.",
            )
