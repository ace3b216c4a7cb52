"""Checks of a balance bar: how it leans, what it touches, where its bearing stands."""

import math
from collections.abc import Iterator

import numpy as np

from linkage.car.bar import Swing
from linkage.car.twin import Alone, Twin
from linkage.findings.facts import Facts, Lost
from linkage.findings.failures import losses
from linkage.findings.records import Check, Lack, Measured
from linkage.findings.stopping import hard_stop, leans
from solvers.jet import value

#: Looks at a bar while the brake is pressed to the hard stop.
LOOKS = 201


def _has_bar(facts: Facts) -> bool:
    return facts.rest.bar is not None


def _hard_tilt(facts: Facts) -> Measured | Lack:
    answer = hard_stop(facts)
    if isinstance(answer, Lack):
        return answer
    driven = answer.rig.driven
    if not isinstance(driven, Twin):
        return Lack(what="its cylinders stand on no bar")
    front, rear = (float(x) for x in driven.ends(answer.level))
    longer, spacing = float(driven.bar.longer), float(driven.bar.spacing)
    return Measured(
        value=abs(float(driven.tilt(answer.level))),
        at=float(answer.state.foot.travel[0]),
        working=f"asin(({front:.2f} - {rear:.2f} - {longer:.2f}) / {spacing:.2f})",
        note=answer.missed or "a rod's length makes it square: see footwell budget",
        leans=leans(answer.sways, effort=False),
    )


def _tilt(facts: Facts) -> Measured | Lack:
    """Return how far a bar leans in any state; a fail where it touches its stop."""
    answer = hard_stop(facts)
    lost = losses(facts)
    if isinstance(answer, Lack):
        return answer
    if isinstance(lost, Lack):
        return lost
    driven = answer.rig.driven
    if not isinstance(driven, Twin):
        return NONE
    levels = np.linspace(0.0, answer.level, LOOKS)
    most = float(np.max(np.abs(driven.tilt(levels))))
    found = [(most, "pressed"), *(_swung(each) for each in lost)]
    tilt, state = max(found)
    touches = [each.circuit for each in lost if _touches(each)]
    if answer.rig.ends == "bar at its stop" and answer.missed:
        touches.insert(0, "pressed")
    limit = math.degrees(driven.bar.tilt)
    said = " and ".join(
        f"{name} lost" if name != "pressed" else name for name in touches
    )
    return Measured(
        value=tilt,
        verdict="fail" if touches else None,
        working=f"{math.degrees(tilt):.1f} of the {limit:.1f} deg that it has",
        note=f"{said}: it is at its stop" if touches else state,
        leans=tuple(path for path in answer.rig.doubts if ".tilt" in path),
    )


NONE = Lack(what="its cylinders stand on no bar")


def _swung(each: Lost) -> tuple[float, str]:
    most = max((abs(float(swing.tilt)) for swing in _swings(each)), default=0.0)
    return most, f"{each.circuit} lost"


def _touches(each: Lost) -> bool:
    return any(swing.stops == "bar" for swing in _swings(each))


def _swings(each: Lost) -> list[Swing]:
    """Return where a bar is on the way to a stop: it leans most while pressed lightly."""
    driven = each.rig.driven
    if not isinstance(driven, Alone):
        return []
    upto = min(each.stop.level, each.rig.top)
    return [driven.swung(float(level)) for level in np.linspace(0.0, upto, LOOKS)]


def _shift(facts: Facts) -> Measured | Lack:
    bar = facts.rest.bar
    if bar is None:
        return NONE
    shift, spacing = (float(value(x)) for x in (bar.shift, bar.spacing))
    return Measured(
        value=100.0 * abs(shift) / spacing,
        working=f"100 x {abs(shift):.2f} / {spacing:.2f} mm; the front takes "
        f"{100.0 * float(value(bar.share)):.1f} % of the push",
    )


def checks() -> Iterator[Check]:
    """Yield the checks of a bar."""
    yield Check(
        name="Bar leans at a hard stop",
        law=_hard_tilt,
        why="A bar that leans under load wears its bearing and pulls its rods askew.",
        limit="hard-stop bar tilt",
        for_pedal=_has_bar,
    )
    yield Check(
        name="Bar leans, on any day",
        law=_tilt,
        why="A bar or clevis that touches jams, or bends what it touches.",
        limit="bar tilt",
        for_pedal=_has_bar,
    )
    yield Check(
        name="Bar's bearing off its middle",
        law=_shift,
        why="Near its end the bar has no more to give: choose other bores.",
        limit="bar shift",
        for_pedal=_has_bar,
    )
