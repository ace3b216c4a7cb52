"""What looks wrong in a design that can be read: said, and the work goes on."""

from collections.abc import Iterator

import numpy as np

from linkage.design.records import Design, SideReach
from linkage.design.values import Value
from linkage.faults import Fault
from linkage.motion.run import move
from linkage.parts.cylinder import Cylinder, CylinderRest
from linkage.parts.lever import Lever
from linkage.places import driving_hole
from linkage.sweeping import sweep
from linkage.words.account import account_of
from linkage.words.end_cautions import end_cautions
from linkage.words.links import ends_of
from linkage.words.slip_cautions import slip_cautions
from linkage.words.watch import Watch, number
from solvers.jet import value

#: Pivot to pad, mm: common practice, no source.
SHORTEST, LONGEST = 180.0, 360.0
#: Past square by more than this at rest is said, deg: less is no reading's fault.
PAST = 2.0
#: A point that metal moves by less is where it was typed, mm.
MOVED = 0.05
#: The gap that is proposed where there is none, mm.
GAP = 0.5


def cautions(design: Design) -> tuple[Fault, ...]:
    """Return what looks wrong, in file order; empty for a sound design.

    What depends on motion is looked at where nothing of the pedal is free: the middle
    of a range is nobody's pedal.
    """
    found: list[Fault] = []
    for pedal in design.pedals.values():
        watch = Watch.over(design, pedal)
        found += [*_arm(watch), *_rods(watch)]
        if watch.stands and not watch.is_question:
            found += [*_square(watch), *_gap(watch)]
            found += [*end_cautions(watch), *slip_cautions(watch)]
    return tuple(sorted(found, key=lambda fault: fault.line))


def _arm(watch: Watch) -> Iterator[Fault]:
    """Say an arm that is no arm."""
    arm = number(watch.rest.radius)
    if arm > 0.0 and not SHORTEST <= arm <= LONGEST:
        yield watch.fault(
            "pad",
            f"{watch.about(arm)} from the pivot. Arms are {watch.about(SHORTEST)} to "
            f"{watch.about(LONGEST)} (common practice, no source).",
            "Did one tape start from another mark?",
        )


def _rods(watch: Watch) -> Iterator[Fault]:
    """Say every rod that wins over a typed point."""
    for part in watch.pedal.train:
        if isinstance(part, Lever) and part.rod is not None:
            yield from _rod_wins(watch, part, part.rod)


def _rod_wins(watch: Watch, part: Lever, rod: Value) -> Iterator[Fault]:
    """Say by how much a rod's length moves the typed input."""
    if isinstance(part.input, SideReach) or rod.kind != "fixed":
        return
    places, say = watch.rest.places, watch.speech.length
    typed = complex(value(places.form(part.input)))
    moved = complex(value(places.point(f"{part.path}.input"))) - typed
    if not abs(moved) > MOVED:  # nan where the rod does not reach: said elsewhere
        return
    apart = abs(typed - complex(value(places.point(driving_hole(part)))))
    ways = [
        f"{say(abs(size))} {word}"
        for size, word in (
            (moved.real, "further ahead" if moved.real > 0.0 else "further back"),
            (moved.imag, "higher" if moved.imag > 0.0 else "lower"),
        )
        if abs(size) >= MOVED
    ]
    yield watch.fault(
        "input",
        f"your link rod is {say(rod.nominal)}, but these points are {say(apart)} apart.",
        "The rod is steel and the point is tape, so the rod wins: the hole then sits "
        f"{' and '.join(ways)}.",
        part,
    )


def _square(watch: Watch) -> Iterator[Fault]:
    """Say a hole that is past square at rest, and ask for its mirror image."""
    past = _past(watch)
    if past is None or past <= PAST:
        return
    link = account_of(watch.rest).joints[0].kind
    wrong = (
        f"at rest the {link} is already {past:.1f} deg PAST square to the arm."
        f"{_ratio_run(watch)}"
    )
    yield watch.fault("clevis", wrong, _mirror(watch))


def _past(watch: Watch) -> float | None:
    """Return how far past square the first rod or cable stands at rest, deg."""
    joints = account_of(watch.rest).joints
    return joints[0].past if joints else None


def _ratio_run(watch: Watch) -> str:
    swept = sweep(watch.design, watch.pedal.name, positions=201)
    if "ratio" not in swept.columns:
        return ""
    known = swept["ratio"][~np.isnan(swept["ratio"])]
    if len(known) < 2:
        return ""
    change = 100.0 * (known[-1] / known[0] - 1.0)
    stop = "" if swept.limit is None else f", up to a {swept.limit.kind}"
    return (
        f" The ratio will run from {known[0]:.2f} to {known[-1]:.2f} "
        f"({change:+.0f} %){stop}."
    )


def _mirror(watch: Watch) -> str:
    """Ask whether the hole was meant on the other side of the pivot."""
    link = move(watch.rest, np.zeros(1)).steps[0].link
    run = complex(np.ravel(value(link.far()))[0]) - watch.hole
    level = abs(run.real) >= abs(run.imag)
    arm = watch.hole - watch.pivot
    off = arm.real if level else arm.imag
    other = watch.with_hole(watch.hole - (2.0 * off if level else 2.0j * off))
    past = _past(other) if other.stands else None
    if past is None or past > 0.0:
        return "Square in the working part of the travel is the good side."
    words = ("behind", "ahead") if level else ("below", "above")
    meant, now = words if off > 0.0 else words[::-1]
    size = watch.mm(abs(off))
    return f"Did you mean {size} {meant.upper()} the pivot instead of {size} {now}?"


def _gap(watch: Watch) -> Iterator[Fault]:
    """Say a rod without a gap to its piston."""
    for _, index in ends_of(watch.rest):
        part, rest = watch.pedal.train[index], watch.rest.parts[index]
        if isinstance(part, Cylinder) and isinstance(rest, CylinderRest):
            yield from _gap_of(watch, part, rest)


def _gap_of(watch: Watch, part: Cylinder, rest: CylinderRest) -> Iterator[Fault]:
    if part.free_play is None or part.free_play.nominal != 0.0:
        return
    rod, say = number(rest.rod), watch.speech.short
    yield watch.fault(
        "free_play",
        "0 leaves no gap. As things warm and settle the rod holds the piston off its "
        "ring, the ports stay shut and the brakes drag.",
        f"Shorten the rod from {say(rod)} to {say(rod - GAP)} for a gap of {say(GAP)}.",
        part,
    )
