"""A pedal in sentences: what kind it is, which way everything goes, where it is square.

Facts come first, as records in mm and degrees; sentences are made from them alone.
"""

from collections.abc import Iterator
from typing import Any

import numpy as np
from msgspec import Struct

from linkage.design.records import Design, Pedal
from linkage.design.values import Value
from linkage.motion.ends import Limit, find_limit
from linkage.motion.rest import PedalRest
from linkage.motion.run import Run, move
from linkage.parts.cylinder import Cylinder, CylinderRest
from linkage.parts.moving import sense_of_rate
from linkage.places import driving_hole
from linkage.quantities import laws
from linkage.words.links import link_pushes
from linkage.words.names import part_name
from linkage.words.speech import Speech, heading, way
from solvers.jet import value
from solvers.root import first_zero

#: A pad nearer to level with its pivot than this is neither hanging nor standing.
LEVEL = np.sin(np.radians(30.0))


class Joint(Struct, frozen=True, kw_only=True, eq=False):
    """One rod or cable and the arm that drives it.

    Attributes
    ----------
    part : int
        What it drives, counted from 1.
    kind : str
        "rod" or "cable".
    pushes : bool
        It is pushed at rest.
    past : float or None
        deg past square at rest, negative short of it; None off a drum.
    past_full : float or None
        The same at full.
    square_at : float or None
        mm of pad where it comes square, within the travel.
    length : float or None
        mm, of a rod.
    """

    part: int
    kind: str
    pushes: bool
    past: float | None
    past_full: float | None
    square_at: float | None
    length: float | None


class Account(Struct, frozen=True, kw_only=True, eq=False):
    """What can be said of one pedal; places and lengths in mm, x + iz.

    Attributes
    ----------
    kind : str
        "hanging", "floor" or "level".
    pad, hole : complex
        From the pivot, at rest; the hole None without one.
    pad_way, hole_way : complex
        First motion per mm of pad.
    travel, straight, turn : float
        Arc, tape and degrees from rest to full.
    joints : tuple of Joint
    limit : Limit or None
    """

    kind: str
    pad: complex
    hole: complex | None
    pad_way: complex
    hole_way: complex | None
    travel: float
    straight: float
    turn: float
    joints: tuple[Joint, ...]
    limit: Limit | None


def account_of(rest: PedalRest) -> Account:
    """Return the account of a pedal in plain numbers."""
    pivot, pad = complex(value(rest.pivot)), complex(value(rest.pad))
    arm = pad - pivot
    rate = 1j * float(np.ravel(rest.sense)[0]) / abs(arm)
    hole = None
    if "clevis" in rest.pedal.points:
        hole = complex(value(rest.places.point(f"{rest.pedal.name}.clevis"))) - pivot
    whole = float(np.ravel(value(rest.travel))[0])
    limit = find_limit(rest, whole)
    upto = whole if limit is None else limit.travel * (1.0 - 1e-9)
    turn = whole / abs(arm)
    return Account(
        kind=_kind(arm),
        pad=arm,
        hole=hole,
        pad_way=rate * arm,
        hole_way=None if hole is None else rate * hole,
        travel=whole,
        straight=2.0 * abs(arm) * float(np.sin(min(turn / 2.0, np.pi / 2.0))),
        turn=float(np.degrees(turn)),
        joints=() if rest.missing() else tuple(_joints(rest, upto)),
        limit=limit,
    )


def _kind(arm: complex) -> str:
    if abs(arm.imag) < LEVEL * abs(arm):
        return "level"
    return "hanging" if arm.imag < 0.0 else "floor"


def _joints(rest: PedalRest, upto: float) -> Iterator[Joint]:
    run = move(rest, np.array([0.0, upto]))
    for index, step in enumerate(run.steps):
        pushes = link_pushes(rest, index)
        past = _past(run, index, pushes=pushes)
        part = rest.parts[index]
        rod = getattr(part, "rod", None)
        if rod is None and getattr(part, "run", None) is None:
            rod = getattr(part, "link", None)
        yield Joint(
            part=index + 1,
            kind=step.link.kind,
            pushes=pushes,
            past=None if past is None else float(past[0]),
            past_full=None if past is None else float(past[-1]),
            square_at=_square(rest, index, pushes=pushes, upto=upto),
            length=None if rod is None else float(np.ravel(value(rod))[0]),
        )


def _past(run: Run, index: int, *, pushes: bool) -> Any:
    """Return how far past square a link stands, deg, at each place of a run."""
    if run.steps[index].link.corner is None:
        return None
    off = np.degrees(np.asarray(laws.crank_angle(run, index + 1).v, float)) - 90.0
    return np.broadcast_to(off if pushes else -off, np.shape(run.travel.v))


def _square(rest: PedalRest, index: int, *, pushes: bool, upto: float) -> float | None:
    start = _past(move(rest, np.zeros(1)), index, pushes=pushes)
    if start is None or start[0] >= 0.0:
        return None
    return first_zero(
        lambda x: -_past(move(rest, np.atleast_1d(x)), index, pushes=pushes), 0.0, upto
    )


# ---------------------------------------------------------------------- sentences


def account_lines(design: Design, rest: PedalRest, account: Account) -> list[str]:
    """Return the account as paragraphs, not yet broken into lines."""
    speech, pedal = Speech(design.units), rest.pedal
    lines = [_stance(account, speech), _pressing(rest, account)]
    if account.hole is not None:
        start = f"At rest the hole is {_from_pivot(account.hole, speech)}."
        lines.append(" ".join([start, *_joint_words(pedal, account, speech)]))
    lines += [_rod_words(rest, account, speech), _full_words(account, speech)]
    if account.limit is not None:
        lines.append(_limit_words(account.limit, speech))
    return [line for line in lines if line]


def _limit_words(limit: Limit, speech: Speech) -> str:
    if limit.travel <= 0.0:
        return f"LIMIT: on its rest stop it cannot be put together: {limit.why}"
    at = speech.short(limit.travel, speech.coarse)
    return f"LIMIT: {limit.kind} after {at} of pad: see sweep."


def _stance(account: Account, speech: Speech) -> str:
    name = {
        "hanging": "Hanging pedal",
        "floor": "Floor pedal",
        "level": "Pedal that lies nearly level",
    }[account.kind]
    return f"{name}. The pad is {_from_pivot(account.pad, speech)}."


def _from_pivot(z: complex, speech: Speech) -> str:
    words = speech.offset(z)
    return words + (" it" if words == "on" else " the pivot")


def _pressing(rest: PedalRest, account: Account) -> str:
    """Return which way pad, hole and every part go."""
    pad = way(account.pad_way)
    hole = pad if account.hole_way is None else way(account.hole_way)
    said = [f"Pressing carries the pad {pad} and the hole {hole}"]
    if hole == pad:
        said = [f"Pressing carries pad and hole {pad}"]
    beyond = False
    for joint in account.joints:
        part = rest.parts[joint.part - 1]
        record = rest.pedal.train[joint.part - 1]
        beyond = beyond or joint.kind == "cable"
        name = part_name(rest.pedal, record)
        does = "pushes" if joint.pushes else "pulls"
        branch = f"{record.branch} " if record.branch else ""
        subject = f"the {branch}{joint.kind} {does}"
        if record.KIND == "cable":
            said.append("the cable is drawn")
        elif isinstance(part, CylinderRest):
            axis = complex(np.ravel(value(part.axis))[0])
            whose = "its" if branch else "the"
            said.append(f"{subject}, {whose} piston goes {heading(axis)}")
        else:
            turns = "anticlockwise" if sense_of_rate(part.rate) > 0.0 else "clockwise"
            seen = "as you measured it" if beyond else "front of the car to the right"
            said.append(f"{subject}, the {name} turns {turns} ({seen})")
    return f"{'; '.join(said)}."


def _joint_words(pedal: Pedal, account: Account, speech: Speech) -> Iterator[str]:
    for joint in account.joints:
        if joint.past is None:
            continue
        part = pedal.train[joint.part - 1]
        hole = driving_hole(part)
        arm = "the arm"
        subject = f"The {part.branch} {joint.kind}".replace("  ", " ")
        if not hole.endswith(".clevis"):
            arm = f"the {part_name(pedal, pedal.train[part.behind - 1])}"
            subject = f"The {joint.kind} behind {arm}"
        yield f"{subject} is {_square_words(joint, arm, speech)}"


def _square_words(joint: Joint, arm: str, speech: Speech) -> str:
    past, at_full = joint.past or 0.0, joint.past_full or 0.0
    size = f"{abs(past):.1f}"
    if size == "0.0":
        return f"square to {arm}, and {_off(at_full)} at full."
    if past > 0.0:
        return (
            f"{size} deg PAST square to {arm} already, {_off(at_full)} at full: the "
            "ratio only rises from here."
        )
    if joint.square_at is None:
        return f"{size} deg short of square to {arm}, and {_off(at_full)} at full."
    return (
        f"{size} deg short of square to {arm} and comes square after "
        f"{speech.short(joint.square_at, 0 if speech.units == 'mm' else 1)} of pad: "
        "the good side."
    )


def _off(past: float) -> str:
    return f"{abs(past):.1f} {'past' if past > 0.0 else 'short'}"


def _rod_words(rest: PedalRest, account: Account, speech: Speech) -> str:
    """Return the rods' lengths and the gap at the piston."""
    rods = [joint for joint in account.joints if joint.length is not None]
    if not rods:
        return ""
    said = []
    for joint in rods:
        part = rest.pedal.train[joint.part - 1]
        ends = "hole to end" if part.KIND == "cylinder" else "hole to hole"
        subject = "The rod" if len(rods) == 1 else f"rod {joint.part}"
        subject = f"the {part.branch} rod" if part.branch else subject
        said.append(f"{subject} is {speech.ruled(joint.length or 0.0, 64)} {ends}")
    text = ", ".join(said)
    gaps = [_gap_words(rest, speech, end) for end in _cylinders(rest.pedal)]
    return f"{text[0].upper()}{text[1:]}{''.join(gaps)}."


def _cylinders(pedal: Pedal) -> list[Cylinder]:
    ends = pedal.train[-1 if pedal.bar is None else -2 :]
    return [end for end in ends if isinstance(end, Cylinder)]


def _gap_words(rest: PedalRest, speech: Speech, last: Cylinder) -> str:
    whose = f"{last.branch} piston".strip()
    gap: Value | None = last.free_play
    if gap is None:
        return f"; no gap to the {whose} is given, so none is taken"
    play = float(np.ravel(value(rest.places.number(gap)))[0])
    if play == 0.0:
        return f", with no gap to the {whose}"
    start = move(rest, np.zeros(1))
    ratio = np.ravel(laws.rate(start, last.number).v)[0]
    pad = play / float(ratio)
    return (
        f", with a gap of {speech.reading(play)} to the {whose}: the first "
        f"{speech.ruled(pad)} of pad only close it"
    )


def _full_words(account: Account, speech: Speech) -> str:
    return (
        f"Full is {speech.ruled(account.travel)} of pad along its arc, "
        f"{speech.ruled(account.straight)} straight by tape; the arm turns "
        f"{account.turn:.1f} deg."
    )
