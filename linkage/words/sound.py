"""Everything that keeps a design from being used, whichever command is asked: at once.

What a reader of the file cannot see takes numbers: pads that lie level, welded points
that are free, targets of what a train has not, pedals that cannot stand or that work
the wrong way. A pedal that is still free is not held to where it stands in between.
"""

from collections.abc import Iterator

from linkage.design.frees import open_paths
from linkage.design.records import Design, Pedal
from linkage.faults import DesignError, Fault
from linkage.motion.lie import side_faults
from linkage.motion.rest import at_rest
from linkage.places import Places
from linkage.quantities.asked import target_faults
from linkage.words.level import in_order, level_faults, locks


def check(design: Design) -> None:
    """Refuse a design that no command can use.

    Raises
    ------
    DesignError
        With every reason, in file order.
    """
    faults = [
        *locks(design),
        *side_faults(design),
        *(each for pedal in design.pedals.values() for each in _of(design, pedal)),
    ]
    if faults:
        raise DesignError(in_order(faults))


def _of(design: Design, pedal: Pedal) -> Iterator[Fault]:
    yield from target_faults(design, pedal)
    level = level_faults(design, pedal)
    yield from level
    if not level and not open_paths(design, pedal.name):
        yield from at_rest(Places(design), pedal).faults()


def stand(design: Design, pedals: tuple[str, ...]) -> None:
    """Refuse pedals that cannot stand where the file has them, free or not.

    Raises
    ------
    DesignError
        With every reason of every pedal.
    """
    places = Places(design)
    faults = [
        fault
        for name in pedals
        for fault in at_rest(places, design.pedals[name]).faults()
    ]
    if faults:
        raise DesignError(faults)
