"""From a design and its motion to the scene of a picture."""

from collections.abc import Iterator, Sequence
from pathlib import Path

from linkage.design.records import Design
from linkage.places import Places
from linkage.sheets.curves import notes_of, panels_of
from linkage.sheets.furniture import fixtures_of, least_gap
from linkage.sheets.groups import groups_of
from linkage.sheets.scene import Datum, Scene
from linkage.sheets.stamp import stamp_of
from linkage.sheets.typed import arm_length, gaps_at_full, readings_of
from linkage.sweeping import Sweep, sweep
from linkage.words.speech import Speech
from linkage.words.still_open import open_text
from solvers.jet import value

CURVE = 121
#: mm; ends of a floor or bulkhead that is given by one number. The sheet cuts it.
ENDLESS = 1e5


def scene_of(
    design: Design, pedals: Sequence[str], *, door_left: bool = False
) -> Scene:
    """Return the scene of a sweep picture for some pedals of a design.

    Raises
    ------
    DesignError
        As `linkage.sweeping.sweep`.
    """
    sweeps = [sweep(design, name, positions=CURVE) for name in pedals]
    scenes = [_alone(design, swept, door_left) for swept in sweeps]
    if len(scenes) == 1:
        return scenes[0]
    speech = Speech(design.units)
    names = ", ".join(pedals) if len(pedals) < len(design.pedals) else "all pedals"
    return Scene(
        units=design.units,
        title=_title(design, names),
        stamp=stamp_of(design),
        panels=tuple(panels_of(sweeps, speech)),
        guesses=len(design.guesses),
        notes=(*notes_of(sweeps, speech), *_open_notes(design, pedals)),
        apart=tuple(scenes),
    )


def _open_notes(design: Design, pedals: Sequence[str]) -> Iterator[str]:
    """Say of which pedals it is drawn as numbers stand that are still free."""
    for name in pedals:
        text = open_text(design, name)
        if text:
            yield f"{name}: {text.rstrip('.')}"


def _title(design: Design, names: str) -> str:
    return f"{design.title or Path(design.file).stem}: {names}"


def _alone(design: Design, swept: Sweep, door_left: bool) -> Scene:
    """Return the scene of one pedal."""
    speech, rest = Speech(design.units), swept.rest
    near, far = groups_of(swept, speech)
    return Scene(
        units=design.units,
        title=_title(design, swept.pedal),
        stamp=stamp_of(design),
        groups=(near,),
        far=tuple(far),
        door_left=door_left,
        back=_datum(design.footwell.marks.back),
        up=_datum(design.footwell.marks.up),
        floor=line_of(design, "floor"),
        bulkhead=line_of(design, "bulkhead"),
        readings=tuple(readings_of(rest, speech)),
        fixtures=fixtures_of(design),
        lengths=(
            arm_length(rest, speech),
            *gaps_at_full(design, rest, speech),
            *least_gap(rest, _upto(swept), speech),
        ),
        panels=tuple(panels_of([swept], speech)),
        guesses=len(design.guesses),
        notes=(*notes_of([swept], speech), *_open_notes(design, [swept.pedal])),
    )


def _upto(swept: Sweep) -> float:
    whole = float(value(swept.rest.travel))
    return whole if swept.limit is None else swept.limit.travel * (1.0 - 1e-9)


def _datum(text: str) -> Datum | None:
    return Datum(place=0.0, text=text) if text else None


def line_of(
    design: Design, what: str, places: Places | None = None
) -> tuple[complex, complex] | None:
    """Return the ends of the floor or the bulkhead; a bare number has none near."""
    given = design.footwell.floor if what == "floor" else design.footwell.bulkhead
    if given is None:
        return None
    places = places or Places(design)
    if isinstance(given, tuple):
        a, b = (complex(value(places.form(point))) for point in given)
        return a, b
    at = float(value(places.number(given)))
    if what == "floor":
        return complex(-ENDLESS, at), complex(ENDLESS, at)
    return complex(at, -ENDLESS), complex(at, ENDLESS)
