"""A sweep worked by hand: formula, numbers put in, result, a line each.

Two roads meet here: the closed forms of each part (as `solvers.derive` derives them)
give places and movements; perpendiculars from the pivots to the rods, as on paper, give
the ratio. The last line holds it against the sweep's own exact derivative.
"""

import math
from collections.abc import Iterator

import numpy as np

from linkage.design.records import Design
from linkage.motion.rest import PedalRest
from linkage.motion.run import Run, move
from linkage.parts.cable import CableRest, RunRest
from linkage.parts.cylinder import CylinderRest
from linkage.parts.lever import LeverRest
from linkage.quantities import laws
from linkage.sweeping import sweep
from linkage.units import say
from linkage.words.names import part_name
from linkage.words.worked_lines import place_of, put, short, told
from linkage.words.worked_parts import IN_DEGREES, Frame, stage
from linkage.words.worked_symbols import glossary
from solvers.jet import value


def working_text(design: Design, pedal: str, at: list[float] | None = None) -> str:
    """Return the working of one pedal at some places of its travel (left out: full).

    Raises
    ------
    DesignError
        As `linkage.sweeping.sweep`.
    """
    swept = sweep(design, pedal, at=at, positions=2)
    rest = swept.rest
    travels = [float(x) for x in swept["travel"]]
    if not travels:
        return f"{pedal}: nothing to work out, it cannot be put together.\n"
    if at is None:
        travels = travels[-1:]
    inch = " (1 in is 25.4)" if design.units == "in" else ""
    lines = [f"{pedal}: worked by hand. x forward, z up, mm{inch}; angles from +x."]
    told_of = [(travel, list(_place(rest, travel))) for travel in travels]
    lines += glossary(line for _, place in told_of for line in place)
    for travel, place in told_of:
        lines += ["", f"  After {_travel(design, travel)} of pad"]
        lines += [f"    {line}".rstrip() for line in place]
    return "\n".join(lines) + "\n"


def _travel(design: Design, travel: float) -> str:
    metric = say(travel, "mm", 3)
    return metric if design.units == "mm" else f"{say(travel, 'in', 4)} ({metric})"


def _place(rest: PedalRest, travel: float) -> Iterator[str]:
    run = move(rest, np.array([travel]))
    pivot, pad = place_of(rest.pivot), place_of(rest.pad)
    sense = float(np.ravel(rest.sense)[0])
    radius = abs(pad - pivot)
    yield from told(
        "radius of the pad",
        "R = sqrt((pad x - pivot x)^2 + (pad z - pivot z)^2)",
        f"sqrt(({short(pad.real - pivot.real)})^2 + ({short(pad.imag - pivot.imag)})^2)",
        radius,
        "mm",
    )
    turn = sense * travel / radius
    yield from told(
        "turn of the arm (anticlockwise positive)",
        f"turn = {'' if sense > 0.0 else '-'}travel / R, in deg",
        f"{IN_DEGREES} * {put(sense * travel)} / {short(radius)}",
        math.degrees(turn),
        "deg",
    )
    frame = Frame(pivot, turn, "arm")
    branches: list[_Branch] = []
    factors = [f"{short(radius)}"]
    product = radius
    for index, part in enumerate(rest.parts):
        yield ""
        record = rest.pedal.train[index]
        yield f"{record.label.replace('.', ' ')}, {part_name(rest.pedal, record)}"
        lines, frame, gain = stage(run, index, frame)
        yield from lines
        if gain is None:
            continue
        if record.branch:
            branches.append((record.branch, [*factors], product, gain))
            continue
        for text, number in gain:
            factors.append(text)
            product *= number
        if isinstance(part, CableRest) or _ends_cabled(rest, index):
            break
    if rest.bar is None:
        yield from _ratio(run, factors, product)
    else:
        yield from _of_bar(run, branches)


#: A side of a bar: its name, the factors of its ratio so far, their product, its gain.
_Branch = tuple[str, list[str], float, list[tuple[str, float]]]


def _of_bar(run: Run, branches: list[_Branch]) -> Iterator[str]:
    """Yield the ratio of each rod of a bar, and that of its bearing."""
    found = []
    for name, factors, product, gain in branches:
        yield ""
        whole = product * math.prod(number for _, number in gain)
        text = " * ".join([*factors, *(said for said, _ in gain)])
        found.append(whole)
        yield from told(
            f"{name} ratio, by perpendiculars", _formula(run), text, whole, ""
        )
    bar = run.rest.bar
    share = 0.0 if bar is None else float(np.ravel(value(bar.share))[0])
    front, rear = found
    yield ""
    yield from told(
        "ratio of the bar's bearing",
        "ratio = 1 / (share / front ratio + (1 - share) / rear ratio)",
        f"1 / ({short(share)} / {short(front)} + {short(1.0 - share)} / {short(rear)})",
        1.0 / (share / front + (1.0 - share) / rear),
        "",
    )
    yield from _exact(run)


def _formula(run: Run) -> str:
    """Return how the ratio comes of what was worked out for each part."""
    part = run.rest.parts[-1]
    ends = 1 if run.rest.bar is None else 2
    before = ", and * q / h of each part before" if len(run.rest.parts) > ends else ""
    if isinstance(part, CylinderRest):
        return f"ratio = R * cos(lean) / h{before}"
    run_of: RunRest = getattr(part, "run")  # noqa: B009 - any part a cable drives
    return f"ratio = R / {'h' if run_of.drum is None else 'drum'}{before}"


def _ends_cabled(rest: PedalRest, index: int) -> bool:
    """Return True for a cable-driven part that ends the train: pull is its answer."""
    part = rest.parts[index]
    last = index == len(rest.parts) - 1
    return last and getattr(part, "run", None) is not None


def _ratio(run: Run, factors: list[str], product: float) -> Iterator[str]:
    if not run.rest.parts:
        return
    yield ""
    last = run.rest.parts[-1]
    if isinstance(last, LeverRest) and last.run is None:
        rate = math.degrees(1.0 / product)
        exact = math.degrees(float(np.ravel(laws.lever_rate(run).v)[0]))
        yield from told(
            "turn of the lever for each mm of pad",
            "rate = 1 / (R * the q / h of each part), in deg",
            f"{IN_DEGREES} / ({' * '.join(factors)})",
            rate,
            "deg/mm",
        )
    else:
        yield from told(
            "ratio, by perpendiculars", _formula(run), " * ".join(factors), product, ""
        )
        yield from _exact(run)
        return
    yield f"the sweep's own derivative: {short(exact, 9)}"


def _exact(run: Run) -> Iterator[str]:
    """Yield the sweep's own ratio."""
    exact = float(np.ravel(laws.ratio(run).v)[0])
    if math.isnan(exact):
        yield "the sweep gives no ratio here: slack is not taken up"
    else:
        yield f"the sweep's own derivative: {short(exact, 9)}"
