"""A pedal under load for people: ten-odd rows and a few sentences."""

from collections.abc import Iterator, Mapping, Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from linkage.design.hydraulics import is_hydraulic
from linkage.design.records import Design
from linkage.last_word import FORCES
from linkage.parts.balance_bar import BalanceBar
from linkage.pressing.document import UNITS, guesses_of
from linkage.pressing.press import Loaded
from linkage.sweeping import Series
from linkage.units import out_of, say
from linkage.words.guesses import touches
from linkage.words.left_out import left_out
from linkage.words.names import value_name
from linkage.words.speech import Speech, fixed, paragraph, sentence, table, tidy

ROWS, FINE = 8, 601
Array = NDArray[np.float64]
Columns = Mapping[str, Series]


class Scale(Struct, frozen=True, kw_only=True):
    """The units that forces, pressures and torques are said in, with their digits."""

    force: tuple[str, int]
    pressure: tuple[str, int]
    torque: tuple[str, int]

    def of(self, unit: str) -> tuple[str, int]:
        """Return what is said for an internal unit."""
        return {"N": self.force, "MPa": self.pressure, "N mm": self.torque}[unit]


SCALES = {
    "mm": Scale(force=("N", 0), pressure=("MPa", 2), torque=("N m", 2)),
    "in": Scale(force=("lbf", 1), pressure=("psi", 0), torque=("lbf in", 1)),
}
#: Heads of the table by column, in order; columns that a pedal lacks are left out.
HEADS = {
    "effort": ("foot", "to press"),
    "effort_returning": ("foot,", "way home"),
    "piston_force": ("on the", "fluid"),
    "piston_force_returning": ("fluid,", "way home"),
    "pressure": ("pressure",),
    "rod_force": ("rod",),
    "cable_force": ("cable",),
    "side_force": ("side, on", "piston"),
    "end_torque": ("torque", "at the end"),
    "pivot_force": ("on the", "pivot"),
}
#: The forces whose greatest is told: column, name, what it is.
_TOLD = (
    ("rod_force", "Rod", "in the rod"),
    ("front_rod_force", "Rod", "in the front rod"),
    ("rear_rod_force", "Rod", "in the rear rod"),
    ("cable_force", "Cable", "in the cable"),
    ("side_force", "Side", "of the rod on its piston, square to the axis"),
    ("front_side_force", "Side", "of the front rod on its piston, square to the axis"),
    ("rear_side_force", "Side", "of the rear rod on its piston, square to the axis"),
    ("pivot_force", "Pivot", "of the arm on its pivot"),
)
#: Of two cylinders so much would not fit on a page: the sentences tell it.
_ONCE = ("rod_force", "side_force")
#: What a spring does at its marks.
STATES = {
    "spring starts to work": "starts to work",
    "spring goes slack": "goes slack",
    "spring solid": "is solid",
}
FULL = "piston at its end"
#: What a foot does not feel: 1 part in a thousand.
FELT = 1e-3
#: N; a pedal that needs holding back with less is held by what it stands in.
GOES = 1.0
#: mm; so far behind a jump it is over.
AFTER = 1e-6


def effort_text(
    design: Design,
    loaded: Loaded,
    at: Sequence[float] | None = None,
    *,
    usual: bool = False,
) -> str:
    """Return the table and the sentences for one pedal under one load.

    Parameters
    ----------
    design : Design
    loaded : Loaded
    at : sequence of float, optional
        The rows, mm of pad; left out, round places and those where a force jumps.
    usual : bool
        Nobody stated the load: what is usual was taken.
    """
    speech, scale = Speech(design.units), SCALES[design.units]
    rows = list(_round_rows(loaded, speech)) if at is None else at
    shown = loaded.columns(rows)
    lines = [*paragraph(_title(design, loaded, scale, usual=usual), 0), ""]
    if len(shown["travel"].values):
        lines += [*_table(loaded, shown, speech, scale), ""]
    for name, text in (
        *_gone(loaded, rows, shown, speech),
        *told(loaded, speech, scale),
    ):
        lines += sentence(name, text)
    return "\n".join(lines) + "\n"


def _gone(
    loaded: Loaded, rows: Sequence[float], shown: Columns, speech: Speech
) -> Iterator[tuple[str, str]]:
    """Say which places have no row."""
    ends = {"the end of the piston": loaded.full}
    if loaded.limit is not None:
        ends[f"a limit ({loaded.limit.kind})"] = loaded.limit.travel
    reached = [(at, what) for what, at in ends.items() if at is not None]
    if reached:
        at, what = min(reached)
        why = f"{what} at {speech.short(at, speech.coarse)}"
        yield from left_out(rows, shown["travel"].values.tolist(), why, speech)


def _title(design: Design, loaded: Loaded, scale: Scale, *, usual: bool) -> str:
    own, name = tidy(design.title), loaded.rest.pedal.name
    title = f"{own}: {name}" if own else name
    unit = f"Forces in {scale.force[0]}, lengths in {Speech(design.units).name}"
    taken = " (no load was stated: --foot says another)" if usual else ""
    return f"{title}. {stated_text(loaded, scale)}{taken}. {unit}"


def stated_text(loaded: Loaded, scale: Scale) -> str:
    """Return what was stated: "500 N (112.4 lbf) of foot, along the pad's path"."""
    last = loaded.rest.pedal.train[-1].KIND if loaded.rest.pedal.train else ""
    where = {
        "foot": "of foot",
        "end": "on the fluid" if last == "cylinder" else "in its last link",
        "pressure": "of pressure",
        "torque": "on what the train turns",
    }[loaded.of]
    way = "along the pad's path" if loaded.push == "path" else "along the leg"
    foot = "" if loaded.of == "foot" else "the foot "
    return f"{_both(loaded, scale)} {where}, {foot}{way}"


def _both(loaded: Loaded, scale: Scale) -> str:
    """Return the stated size in the units of the file, and in the other ones."""
    other = next(each for each in SCALES.values() if each is not scale)
    first, second = (
        say(loaded.size, name, max(digits, 1))
        for name, digits in (each.of(UNITS[loaded.of]) for each in (scale, other))
    )
    return f"{first} ({second})"


# -------------------------------------------------------------------------- table


def _round_rows(loaded: Loaded, speech: Speech) -> Iterator[float]:
    """Yield round places, with those where something happens (the place after it)."""
    whole = loaded.travel
    step = speech.step(whole, ROWS)
    events = [mark.travel for mark in loaded.marks]
    inner = np.arange(step, whole - 0.4 * step, step).tolist()
    kept = [x for x in inner if all(abs(x - e) > 0.02 * whole for e in events)]
    rows = {0.0, *kept, *(e + AFTER for e in events), whole}
    if loaded.full is not None:
        whole = loaded.full
        rows.add(whole)
    yield from sorted(row for row in rows if row <= whole)


def _table(loaded: Loaded, shown: Columns, speech: Speech, scale: Scale) -> list[str]:
    travel = shown["travel"].values
    heads: list[tuple[str, ...]] = [("pad", "moves")]
    cells = [speech.lengths(travel)]
    for column, head in heads_of(shown):
        if not same_home(shown, column):
            series = shown[column]
            name, digits = scale.of(series.unit)
            own = () if series.unit == "N" else (f"{name}",)
            heads.append((*head, *own) if len(head) + len(own) < 3 else head)
            cells.append(fixed(_said(series, name), digits))
    notes = [_note(loaded, x) for x in travel.tolist()]
    rows = [[*row, note] for *row, note in zip(*cells, notes, strict=True)]
    return table(rows, [*heads, ("",)])


def heads_of(shown: Columns) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield the columns of the table that a pedal has, with their heads.

    Of a bar's cylinders each has its own, with its side above.
    """
    for column, head in HEADS.items():
        if column in shown:
            yield column, head
        for branch in BalanceBar.BRANCHES:
            if f"{branch}_{column}" in shown and column not in _ONCE:
                yield f"{branch}_{column}", _sided(branch, head)


def _sided(branch: str, head: tuple[str, ...]) -> tuple[str, ...]:
    """Return a head with its side: ("front on", "fluid")."""
    if len(head) == 1:
        return branch, *head
    return {"on the": f"{branch} on"}.get(head[0], f"{branch} {head[0]}"), *head[1:]


def same_home(shown: Columns, column: str) -> bool:
    """Return True for a way home that is no other than the way there."""
    there = column.removesuffix("_returning")
    if there == column:
        return False
    a, b = shown[there].values, shown[column].values
    return bool(np.allclose(a, b, rtol=FELT, atol=1e-9, equal_nan=True))


def _said(series: Series, name: str) -> Array:
    return series.values * out_of(1.0, name)


def _note(loaded: Loaded, x: float) -> str:
    said = ["rest"] if x == 0.0 else []
    if abs(x - loaded.travel) < 1e-9 * loaded.travel:
        said.append("full")
    here = [mark for mark in loaded.marks if abs(mark.travel - x) < 2.0 * AFTER]
    said += [mark_text(mark.what, mark.part) for mark in here]
    return ", ".join(said)


def mark_text(what: str, part: str) -> str:
    """Return a mark in words: "spring 1 goes slack", "gap closed"."""
    kind, _, number = part.partition(".")
    if what == "cylinder full":
        return FULL
    if kind != "spring":
        return what
    return f"spring {number} {STATES[what]}"


# ---------------------------------------------------------------------- sentences


def told(loaded: Loaded, speech: Speech, scale: Scale) -> Iterator[tuple[str, str]]:
    """Yield what the forces come to, (name, sentence) in order."""
    if loaded.limit is not None:
        where = speech.short(loaded.limit.travel, speech.coarse)
        yield "LIMIT", f"{loaded.limit.kind} after {where} of pad: {loaded.limit.why}."
    if loaded.full is not None:
        yield "End", _end(loaded.full, speech)
    fine = loaded.columns(np.linspace(0.0, loaded.full or loaded.travel, FINE).tolist())
    if not len(fine["travel"].values):
        return
    yield "Foot", _foot(fine, speech, scale)
    yield "Rubs", _rubs(loaded, fine)
    for column, name, what in _TOLD:
        if column in fine:
            yield name, _greatest(fine, column, what, speech, scale)
    for n, _ in enumerate(loaded.burden.springs, 1):
        yield "Spring", _spring(loaded, n, fine, scale)
    yield "Let go", _back(loaded, speech)
    guesses = ", ".join(_taken(loaded, speech))
    if guesses:
        yield "Taken", f"{guesses}: not given in the file, so guesses."
    said = ", ".join(_said_guesses(loaded))
    if said:
        yield "About", f"{said}: said to be guesses, and the forces rest on them too."
    yield "Mind", FORCES


def _end(full: float, speech: Speech) -> str:
    at = f"{speech.short(full, speech.coarse)} {speech.units}"
    return f"the piston is at its end at {at} of pad: what follows is metal on metal."


def guess_count(loaded: Loaded) -> int:
    """Return on how many guesses the forces rest, said or taken."""
    return len([*guesses_of(loaded), *_said_guesses(loaded)])


def _taken(loaded: Loaded, speech: Speech) -> Iterator[str]:
    """Yield what was taken for what the file does not say."""
    for name, taken, unit in guesses_of(loaded):
        if unit == "mm" and not isinstance(taken, str):
            yield f"{name} {speech.stock(taken)}"
        else:
            yield f"{name} {taken if isinstance(taken, str) else f'{taken:g}'}"


def _said_guesses(loaded: Loaded) -> Iterator[str]:
    """Yield what the file itself says to be a guess."""
    design = loaded.rest.places.design
    for each in design.guesses:
        mine = touches(design, each.path, loaded.rest.pedal.name)
        if mine and not is_hydraulic(each.path):
            yield f'{value_name(design, each.path)} "{tidy(each.text, 30)}"'


def _foot(fine: Columns, speech: Speech, scale: Scale) -> str:
    felt, travel = fine["effort"].values, fine["travel"].values
    low, high = int(np.nanargmin(felt)), int(np.nanargmax(felt))
    one, most = (_size(fine["effort"], i, scale) for i in (low, high))
    there, here = (speech.short(float(travel[i]), speech.coarse) for i in (low, high))
    text = f"{most} at most, at {here} of pad"
    if one != most:
        text += f"; least {one} at {there}"
    if np.any(felt < -GOES):
        text += ". Below 0 the pedal goes by itself: it has to be held back"
    if np.any(np.isnan(felt)):
        text += ". Where there is no number friction alone holds it"
    return f"{text}."


def _rubs(loaded: Loaded, fine: Columns) -> str:
    name = loaded.rest.pedal.name
    if loaded.rest.pedal.friction is None:
        return f"nothing: the file has no [pedal.{name}.friction]. A real pedal does."
    pistons = (c for c in ("piston_force", "front_piston_force") if c in fine)
    column = next(pistons, None) if loaded.of == "foot" else None
    column = column or ("effort" if loaded.of != "foot" else _last_force(fine))
    there, home = fine[column].values[-1], fine[f"{column}_returning"].values[-1]
    if not there > 0.0 or not np.isfinite(home):
        return "nothing can be said of the way home at full travel."
    less = abs(there - home) / max(there, home)
    what = {
        "effort": "the foot's push",
        "piston_force": "the force on the fluid",
        "front_piston_force": "the force on the fluid",
    }
    more = "less" if home < there else "more"
    where = "as far as it goes" if _is_short(loaded) else "at full travel"
    return (
        f"{where} {what.get(column, 'the force at the end')} is {100 * less:.1f} "
        f"% {more} on the way home."
    )


def _last_force(fine: Columns) -> str:
    return next(
        (c for c in ("end_torque", "cable_force", "rod_force") if c in fine), "effort"
    )


def _greatest(
    fine: Columns, column: str, what: str, speech: Speech, scale: Scale
) -> str:
    series = fine[column]
    sizes = np.abs(series.values)
    if not np.any(np.isfinite(sizes)):
        return f"{what}: nothing says which way the cable leaves its drum."
    at = int(np.nanargmax(sizes))
    size = _size(Series(unit=series.unit, values=sizes), at, scale)
    way = ""
    if column.endswith("rod_force") and sizes[at] > 0.0:
        way = ", pushed" if series.values[at] > 0.0 else ", pulled"
    where = speech.short(float(fine["travel"].values[at]), speech.coarse)
    return f"{size} {what} at most{way}, at {where} of pad."


def _is_short(loaded: Loaded) -> bool:
    """Return True where the table ends before full travel."""
    return loaded.limit is not None or loaded.full is not None


def _spring(loaded: Loaded, n: int, fine: Columns, scale: Scale) -> str:
    name = next(column for column in fine if column.startswith(f"spring_{n}_"))
    series, kind = fine[name], loaded.rest.pedal.springs[n - 1].kind
    first, last = (_size(series, i, scale) for i in (0, -1))
    full = "as far as it goes" if _is_short(loaded) else "at full"
    text = f"{n} ({kind}) {first} at rest, {last} {full}"
    mine = [m for m in loaded.marks if m.part == f"spring.{n}"]
    return f"{text}{''.join(f'; {mark_text(m.what, m.part)}' for m in mine)}."


def _back(loaded: Loaded, speech: Speech) -> str:
    weight, back = loaded.burden.weight, loaded.back
    if weight is None:
        return "not checked: no outline goes round its holes, so it has no weight."
    mass = f"its arm of {speech.mass(weight.mass)}"
    if back.time is not None:
        return (
            f"at full, with nothing on its train, {mass} is home in {back.time:.3f} s."
        )
    stays = speech.short(back.stays or 0.0, speech.coarse)
    return f"at full, with nothing on its train, {mass} stays down at {stays} of pad."


def _size(series: Series, i: int, scale: Scale) -> str:
    name, digits = scale.of(series.unit)
    size = float(series.values[i])
    return say(size, name, digits) if np.isfinite(size) else "nothing"
