"""What a sweep comes to, in a few named sentences."""

import numpy as np
from numpy.typing import NDArray

from linkage.motion.ends import find_ends, find_limit
from linkage.sweeping import Sweep
from linkage.words.links import column_of, cylinder_of, ends_of
from linkage.words.speech import Speech
from solvers.jet import value

Array = NDArray[np.float64]


def sentences(fine: Sweep, whole: float, speech: Speech) -> list[tuple[str, str]]:
    """Return (name, sentence) in order.

    Parameters
    ----------
    fine : Sweep
        In many steps from rest to full.
    whole : float
        The travel, mm.
    """
    said: list[tuple[str, str]] = []
    if not len(fine["travel"]):
        limit = fine.limit
        return [("Stop", f"It cannot be put together: {limit.why}")] if limit else []
    if "ratio" in fine.columns:
        said += _about_ratio(fine, speech)
    for branch, _ in ends_of(fine.rest):
        said += _about_rod(fine, branch, speech)
    said += _about_ends(fine, whole, speech)
    if fine.limit is not None:
        why = fine.limit.why
        said.append(
            (
                "LIMIT",
                f"{fine.limit.kind} after {_at(fine.limit.travel, speech)} of pad "
                f"(of {_at(whole, speech)}): {why}.",
            )
        )
    return said


def _about_ratio(fine: Sweep, speech: Speech) -> list[tuple[str, str]]:
    travel, ratio = fine["travel"], fine["ratio"]
    known = ~np.isnan(ratio)
    if not known.any():
        return []
    start = "rest" if known[0] else "where slack is taken up"
    travel, ratio = travel[known], ratio[known]
    low, high = int(np.argmin(ratio)), int(np.argmax(ratio))
    text = (
        f"lowest {ratio[low]:.2f} at {_at(travel[low], speech)} of pad, highest "
        f"{ratio[high]:.2f} at {_at(travel[high], speech)}; "
        f"{_percent(ratio[-1] / ratio[0] - 1.0)} from {start} to full."
    )
    return [("Ratio", text)]


def _at(travel: float, speech: Speech) -> str:
    """Return a place along the pad's arc."""
    return speech.length(travel, speech.coarse)


def _percent(share: float) -> str:
    text = f"{100.0 * share:+.1f} %"
    return "no change" if text in ("+0.0 %", "-0.0 %") else text


def _about_rod(fine: Sweep, branch: str, speech: Speech) -> list[tuple[str, str]]:
    travel, angle = fine["travel"], fine[column_of(branch, "rod_angle")]
    worst = int(np.argmax(np.abs(angle)))
    crossings = np.flatnonzero(np.signbit(angle[1:]) != np.signbit(angle[:-1]))
    places = [
        float(np.interp(0.0, *_rising(angle[i : i + 2], travel[i : i + 2])))
        for i in crossings
    ]
    where = " and ".join(_at(x, speech) for x in places)
    near = int(np.argmin(np.abs(angle)))
    nearest = f"nearest to the axis at {_at(travel[near], speech)} of pad"
    in_line = (
        f"in line at {where} of pad, "
        if places
        else f"{nearest} ({abs(angle[near]):.1f} deg), "
    )
    text = (
        f"{in_line}worst {abs(angle[worst]):.1f} deg at {_at(travel[worst], speech)}."
    )
    return [("Rod", f"{branch} {text}".strip())]


def _rising(x: Array, y: Array) -> tuple[Array, Array]:
    return (x, y) if x[1] > x[0] else (x[::-1], y[::-1])


def _about_ends(fine: Sweep, whole: float, speech: Speech) -> list[tuple[str, str]]:
    said = [
        ("End", f"{end.what} after {_at(end.travel, speech)} of pad ({end.part}).")
        for end in fine.ends
    ]
    full = any(end.what == "cylinder full" for end in fine.ends)
    if full or fine.limit is not None:
        return said
    for branch, index in ends_of(fine.rest):
        has = cylinder_of(fine, index).stroke
        if has is None:
            continue
        stroke = fine[column_of(branch, "stroke")]
        left = float(value(fine.rest.places.number(has))) - stroke[-1]
        text = (
            f"{speech.length(left)} of {branch} piston".replace("  ", " ")
            + " is left when the pad is at full "
            f"({_at(whole, speech)}).{_beyond(fine, index, whole, speech)}"
        )
        said.append(("End", text))
    return said


def _beyond(fine: Sweep, index: int, whole: float, speech: Speech) -> str:
    """Say where a cylinder would be full, if the pad could go on."""
    limit = find_limit(fine.rest, 2.0 * whole)
    upto = 2.0 * whole if limit is None else limit.travel
    label = fine.rest.pedal.train[index].label
    for end in find_ends(fine.rest, upto):
        if end.what == "cylinder full" and end.part == label:
            return f" The cylinder would be full at {_at(end.travel, speech)}."
    return " The cylinder would never be full."
