"""What does not go together on a balance bar and its two cylinders."""

import math
from collections.abc import Iterator, Sequence
from typing import Any

from linkage.design.reading import Node, Reading
from linkage.design.values import Value
from linkage.units import say


def check_bar(
    reading: Reading, node: Node, bar: Any, ends: Sequence[Any | None]
) -> None:
    """Say what is amiss with a bar as a whole.

    Parameters
    ----------
    node : Node
        The table of the bar.
    bar : Part
    ends : sequence of Part or None
        Its cylinders, front first; None for one that cannot be used.
    """
    for wrong, right in _shift_rule(bar):
        reading.fault((*node.at, "shift"), wrong, right)
    for wrong, right in _longer_rule(bar):
        reading.fault((*node.at, "front_longer"), wrong, right)
    for end in (each for each in ends if each):
        for key, wrong, right in _end_rules(end):
            reading.fault((*node.at, end.branch, 0, key), wrong, right)
    named = [tuple(end.circuits or ()) for end in ends if end]
    if len(named) == 2 and named[0] and named[0] == named[1]:
        wrong = f'both cylinders of the bar fill the circuit "{named[0][0][:40]}".'
        right = 'Each has its own: circuits = ["front"], and ["rear"] in the other.'
        reading.fault((*node.at, ends[-1].branch, 0, "circuits"), wrong, right)  # type: ignore[union-attr]


def _shift_rule(bar: Any) -> Iterator[tuple[str, str]]:
    """Say where the bearing lies outside the bar."""
    if bar.shift is None or bar.spacing is None:
        return
    shift, spacing = bar.shift.value, bar.spacing
    half = 0.5 * min(_ends(spacing))
    most = max(map(abs, _ends(shift)))
    if most < half:
        return
    said, bound = say(most, shift.unit, 2), say(half, spacing.unit, 2)
    yield (
        f"{said} off the middle lies outside the bar, whose ends are {bound} from it.",
        "A bearing stands between the rods; 2:1, a sixth of the spacing, is about all "
        "that a bar has.",
    )


def _longer_rule(bar: Any) -> Iterator[tuple[str, str]]:
    """Say where the rods' own difference leans the bar on its stop, or beyond."""
    if bar.front_longer is None or bar.tilt is None or bar.spacing is None:
        return
    most = max(map(abs, _ends(bar.front_longer)))
    held = min(_ends(bar.spacing)) * math.sin(min(_ends(bar.tilt)))
    if most < held:
        return
    unit = bar.front_longer.unit
    yield (
        f"rods that differ by {say(most, unit, 2)} lean the bar on its stop at rest.",
        f"With this spacing and tilt it may be {say(held, unit, 1)} at most.",
    )


def _ends(value: Value) -> list[float]:
    """Return the outermost numbers that a value may have."""
    ends = [value.nominal, *value.options]
    ends += [end for end in (value.low, value.high) if end is not None]
    give = value.give or 0.0
    return [end + sign * give for end in ends for sign in (-1.0, 1.0)]


def _end_rules(end: Any) -> Iterator[tuple[str, str, str]]:
    if len(end.circuits or ()) > 1:
        wrong = "a cylinder on a bar fills one circuit, and these are two."
        yield "circuits", wrong, f'Write circuits = ["{end.branch}"], say.'
    if end.booster is not None:
        wrong = "a booster on one end of a bar leaves nothing of its shares."
        yield "booster", wrong, "A bar is pushed by the pedal alone: take it out."
