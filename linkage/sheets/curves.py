"""The curves of a sweep picture: panels, target bands, walls and notes."""

from collections.abc import Iterator, Sequence

import numpy as np

from linkage.design.records import Part, Target
from linkage.parts.balance_bar import BalanceBar
from linkage.parts.cable import Cable
from linkage.quantities.register import QUANTITIES
from linkage.sheets.ruler import RULERS
from linkage.sheets.scene import Band, Panel, Series, Spot, Wall
from linkage.sweeping import Sweep
from linkage.units import BY_NAME, Measure, trim
from linkage.words.speech import Speech
from solvers.jet import value

#: Which columns make a panel, in order: column, head, quantity whose targets belong.
PANELS = (
    ("stroke", "piston stroke", "stroke"),
    ("cable_pull", "cable drawn", "cable pull"),
    ("lever_turn", "lever turn", "lever turn"),
    ("quadrant_turn", "quadrant turn", "lever turn"),
    ("ratio", "ratio", "ratio"),
    ("rod_angle", "rod angle", "rod angle"),
)


def panels_of(
    sweeps: Sequence[Sweep],
    speech: Speech,
    wanted: Sequence[tuple[str, str, str]] = PANELS,
    *,
    apart: bool = False,
) -> Iterator[Panel]:
    """Return one panel for each quantity that any of the sweeps has.

    Parameters
    ----------
    apart : bool
        False to put both cylinders of a bar into one panel.
    """
    for column, name, quantity in wanted:
        columns = [
            (s, each) for s in sweeps for each in _columns(s, column, apart=apart)
        ]
        if not columns:
            continue
        having = [s for s in sweeps if _columns(s, column, apart=apart)]
        unit = having[0].columns[columns[0][1]].unit
        yield Panel(
            name=name,
            unit=shown_unit(unit, speech)[0],
            along=f"{speech.units} of pad",
            series=tuple(
                _series(swept, each, speech, named=each != column)
                for swept, each in columns
            ),
            bands=tuple(
                band
                for s in having
                for band in (
                    *_bands(s, column, quantity, speech),
                    *_needs(s, quantity, speech),
                )
            ),
            walls=tuple(
                wall
                for s in having
                for wall in _walls(s, column, speech, named=len(having) > 1)
            ),
            # Of several pedals the names would hide the curves: see the table.
            spots=tuple(_lowest(having[0], speech))
            if column == "ratio" and len(having) == 1
            else (),
        )


def _columns(swept: Sweep, column: str, *, apart: bool) -> list[str]:
    """Return the columns of a panel: of a bar that of each of its cylinders."""
    if column in swept.columns:
        return [column]
    return [each for each in swept.columns if each in _both(column) and not apart]


def _both(column: str) -> tuple[str, ...]:
    return tuple(f"{branch}_{column}" for branch in BalanceBar.BRANCHES)


def _branch(column: str) -> str:
    """Return the side of a bar that a column is of; empty for none."""
    branch = column.partition("_")[0]
    return branch if branch in BalanceBar.BRANCHES else ""


def _series(swept: Sweep, column: str, speech: Speech, *, named: bool) -> Series:
    _, size = shown_unit(swept.columns[column].unit, speech)
    return Series(
        name=f"{swept.pedal} {_branch(column)}" if named else swept.pedal,
        travel=swept["travel"] / RULERS[speech.units].unit,
        values=swept[column] / size,
    )


def shown_unit(unit: str, speech: Speech) -> tuple[str, float]:
    """Return the unit in which a column is drawn, "" for none, and how large it is."""
    if unit == "mm":
        return speech.units, RULERS[speech.units].unit
    if unit == "N" and speech.units == "in":
        return "lbf", float(BY_NAME["lbf"].factor)
    return ("" if unit == "1" else unit), 1.0


def _bands(swept: Sweep, column: str, quantity: str, speech: Speech) -> Iterator[Band]:
    whole, unit = float(value(swept.rest.travel)), RULERS[speech.units].unit
    for target in swept.rest.pedal.targets:
        other = target.of != quantity or _is_other(column, target)
        if other or target.at.state is not None:
            continue
        scale = whole if target.at.share else 1.0
        low, high = _between(target, unit)
        if low is not None or high is not None:
            yield Band(
                start=target.at.low * scale / unit,
                stop=target.at.high * scale / unit,
                low=low,
                high=high,
                text=_wanted(low, high, QUANTITIES[quantity].measure, speech),
            )


def _is_other(column: str, target: Target) -> bool:
    """Return True for a target of the other side of a bar."""
    return bool(_branch(column)) and target.which not in (None, _branch(column))


def _needs(swept: Sweep, quantity: str, speech: Speech) -> Iterator[Band]:
    """Return what the far end of a cable needs, where the train ends in one."""
    part, unit = swept.rest.pedal.train[-1], RULERS[speech.units].unit
    if quantity == "cable pull" and isinstance(part, Cable) and part.pull is not None:
        needed = part.pull.nominal
        full = float(value(swept.rest.travel))
        text = f"needs {speech.short(needed)} {speech.units}"
        yield Band(start=0.0, stop=full / unit, low=needed / unit, high=None, text=text)


def _wanted(
    low: float | None, high: float | None, measure: Measure, speech: Speech
) -> str:
    """Return a target in words: "wanted 5.25 to 5.45"."""

    def say(number: float) -> str:
        inches = measure is Measure.LENGTH and speech.units == "in"
        return trim(number, 3 if inches else 2)

    if low is None and high is not None:
        return f"wanted {say(high)} at most"
    if high is None and low is not None:
        return f"wanted {say(low)} at least"
    if low is None or high is None:
        return "wanted"
    return f"wanted {say(low)} to {say(high)}"


def _between(target: Target, unit: float) -> tuple[float | None, float | None]:
    """Return the values that meet a target, as shown; ``unit`` is that of lengths."""
    quantity = QUANTITIES[target.of]
    factors = {Measure.ANGLE: 180.0 / np.pi, Measure.LENGTH: 1.0 / unit}
    shown = factors.get(quantity.measure, 1.0)
    low, high = target.least, target.most
    if quantity.by_size and high is not None and low is None:
        low = -high
    if target.exact is not None and target.within is not None:
        low, high = target.exact - target.within, target.exact + target.within
    return (
        None if low is None else low * shown,
        None if high is None else high * shown,
    )


def _walls(swept: Sweep, column: str, speech: Speech, *, named: bool) -> Iterator[Wall]:
    ends = swept.rest.pedal.train[-1:]
    if swept.rest.bar is not None:
        ends = swept.rest.pedal.train[-2:]
    branch = _branch(column)
    for part in ends:
        if branch in ("", part.branch):
            key = column.removeprefix(f"{branch}_") if branch else column
            yield from _wall(swept, part, key, speech, named=named)


def _wall(
    swept: Sweep, part: Part, column: str, speech: Speech, *, named: bool
) -> Iterator[Wall]:
    key, what = {
        "stroke": ("stroke", "cylinder full"),
        "lever_turn": ("turn", "lever's stop"),
        "quadrant_turn": ("turn", "quadrant's stop"),
    }.get(column, ("", ""))
    given = getattr(part, key, None) if key else None
    if given is None:
        return
    what = f"{part.branch} {what}".strip()
    what = f"{swept.pedal}: {what}" if named else what
    has = float(value(swept.rest.places.number(given)))
    if key == "turn":
        has *= 180.0 / np.pi
        yield Wall(value=has, text=f"{what}, {has:.0f} deg")
    else:
        text = f"{what}, {speech.short(has)} {speech.units}"
        yield Wall(value=has / RULERS[speech.units].unit, text=text)


def _lowest(swept: Sweep, speech: Speech) -> Iterator[Spot]:
    ratio = swept["ratio"]
    if not len(ratio) or np.isnan(ratio).all():
        return
    i = int(np.nanargmin(ratio))
    at, ruler = float(swept["travel"][i]), RULERS[speech.units]
    yield Spot(
        travel=at / ruler.unit,
        value=float(ratio[i]),
        text=f"lowest {ratio[i]:.2f} at {ruler.along(at)}",
    )


def notes_of(sweeps: Sequence[Sweep], speech: Speech) -> Iterator[str]:
    """Return limits and what is used up on the way, a sentence each."""
    for swept in sweeps:
        if swept.limit is not None:
            where = speech.short(swept.limit.travel, speech.coarse)
            yield f"{swept.pedal}: LIMIT, {swept.limit.kind} after {where} of pad"
        for end in swept.ends:
            if end.what == "cable slack taken up":
                continue  # as it should be
            where = speech.short(end.travel, speech.coarse)
            yield f"{swept.pedal}: {end.what} after {where} of pad"
