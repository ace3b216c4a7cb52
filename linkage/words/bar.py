"""A balance bar in sentences: what it shares, where it stands, how its rods are cut."""

import math
from collections.abc import Iterator

import numpy as np

from linkage.car.asking import Answer
from linkage.car.twin import Alone, Twin
from linkage.motion.rest import PedalRest
from linkage.units import trim
from linkage.words.links import cylinder_rest, ends_of
from linkage.words.speech import Speech
from solvers.jet import value

#: mm; rods that differ by less are cut alike.
ALIKE = 0.05
#: deg; a bar that leans less is square.
SQUARE = 0.05


def share_text(share: float) -> str:
    """Return who takes what of a push."""
    return f"the front rod takes {100.0 * share:.1f} % of every push"


def bar_lines(rest: PedalRest) -> Iterator[str]:
    """Yield the bar of a pedal read back; nothing without one."""
    bar = rest.bar
    if bar is None:
        return
    speech = Speech(rest.places.design.units)
    shift, part = float(value(bar.shift)), bar.part
    off = f", its bearing {_shift(shift, speech)}" if shift else ""
    spacing = speech.reading(float(value(bar.spacing)))
    turns = "nothing says how far it can turn"
    if part.tilt is not None:
        about = "about " if part.tilt.guess else ""
        turns = f"it can turn {about}{_deg(part.tilt.nominal)} either way"
    yield (
        f"The bar is {spacing} from rod to rod{off}: "
        f"{share_text(float(value(bar.share)))}; {turns}."
    )
    yield _cut_text(rest, float(value(rest.places.number(part.front_longer))), speech)


def _shift(shift: float, speech: Speech) -> str:
    side = "front" if shift > 0.0 else "rear"
    return f"{speech.reading(abs(shift))} off the middle towards the {side}"


def _cut_text(rest: PedalRest, longer: float, speech: Speech) -> str:
    front, rear = cut_rods(rest, longer)
    if abs(longer) < ALIKE:
        return (
            "Cut to these lengths the rods hold it square at rest; footwell budget says "
            "which hold it square under load."
        )
    more = "longer" if longer > 0.0 else "shorter"
    return (
        f"The front rod is to be {speech.ruled(abs(longer), 64)} {more} than that: cut it "
        f"{speech.ruled(front, 64)} and the rear one {speech.ruled(rear, 64)}, and the "
        "pedal rests where it did with the bar cocked."
    )


def cut_rods(rest: PedalRest, longer: float) -> tuple[float, float]:
    """Return how long front and rear rod are cut, mm, hole to end.

    The bearing stays where it is while the bar is cocked, so the front rod takes the
    rear's share of what it is longer by, and the rear rod gives up the rest.
    """
    share = 0.5 if rest.bar is None else float(value(rest.bar.share))
    front, rear = (
        float(np.ravel(value(cylinder_rest(rest, index).rod))[0])
        for _, index in ends_of(rest)
    )
    return front + (1.0 - share) * longer, rear - share * longer


def _deg(angle: float) -> str:
    return f"{trim(math.degrees(angle), 1)} deg"


# ----------------------------------------------------------------- of an answer


def bar_told(answer: Answer, speech: Speech) -> Iterator[tuple[str, str]]:
    """Yield what a bar does in an answer, (name, sentence); nothing without one."""
    driven = answer.rig.driven
    if isinstance(driven, Twin):
        yield "Bar", _standing(answer, driven, speech)
        yield "Rods", _rods(answer, driven, speech)
    elif isinstance(driven, Alone):
        yield "Bar", f"{swung_text(driven, answer.level, speech)}."


def _standing(answer: Answer, driven: Twin, speech: Speech) -> str:
    tilt = float(driven.tilt(answer.level))
    front, rear = (speech.short(float(x)) for x in driven.strokes(answer.level))
    limit = math.degrees(driven.bar.tilt)
    return (
        f"{share_text(float(driven.bar.share))}; {tilt_text(tilt)} (it has "
        f"{trim(limit, 1)}). Pistons moved: front {front}, rear {rear}."
    )


def tilt_text(tilt: float) -> str:
    """Return how a bar stands: "it leans 3.2 deg, front end ahead"."""
    size = abs(math.degrees(tilt))
    if size < SQUARE:
        return "it stands square"
    return f"it leans {size:.1f} deg, {'front' if tilt > 0.0 else 'rear'} end ahead"


def _rods(answer: Answer, driven: Twin, speech: Speech) -> str:
    longer = float(driven.square(answer.level))
    front, rear = cut_rods(answer.rig.rest, longer)
    more = "longer" if longer > 0.0 else "shorter"
    now = float(driven.bar.longer)
    had = f" (now {speech.ruled(abs(now), 64)} {'longer' if now > 0.0 else 'shorter'})"
    return (
        f"for a square bar here cut the front rod {speech.ruled(front, 64)} and the rear "
        f"one {speech.ruled(rear, 64)}, hole to end; the front is then "
        f"{speech.ruled(abs(longer), 64)} {more} than for a bar square at rest"
        f"{had if abs(now) >= ALIKE else ''}. Rods set the bar square, its bearing sets "
        "the shares."
    )


def swung_text(driven: Alone, level: float, speech: Speech) -> str:
    """Return where a bar is that has lost a circuit."""
    swung = driven.swung(level)
    stop = {
        "bar": "the bar is at its stop, and all of the push goes to the other rod",
        "piston": "the dead piston is at its end, and bears its own share of the push",
    }[swung.stops]
    dead = speech.short(swung.dead)
    lean = abs(math.degrees(swung.tilt))
    return f"swung by {lean:.1f} deg, the {driven.lost} rod {dead} in: {stop}"
