"""``footwell sweep``: the pedal through its arc."""

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from linkage.commands.frame import (
    DONE,
    DONE_BUT,
    answering,
    check_endings,
    check_marked,
    of_file,
    one_pedal,
    pedals,
    put_marked,
    read,
)
from linkage.commands.places import places_of
from linkage.faults import DesignError, Fault

if TYPE_CHECKING:
    from linkage.design.records import Design
    from linkage.sweeping import Sweep

FORMS = (".svg", ".png", ".pdf", ".csv", ".json")
PICTURES, TABLES = FORMS[:3], FORMS[3:]


@click.command()
@of_file
@click.option(
    "--at",
    metavar="MM,MM,..",
    help='Only at these places of the travel: mm, or "1 in".',
)
@click.option("--positions", type=int, metavar="N", help="N equal steps, both ends in.")
@click.option(
    "--door", type=click.Choice(["left", "right"]), default="right", help="Seen from."
)
@click.option("--working", is_flag=True, help="Formula, numbers put in, result.")
@answering(FORMS)
def sweep(
    file: str,
    pedal: str | None,
    at: str | None,
    positions: int | None,
    door: str,
    working: bool,
    as_json: bool,
    outputs: tuple[str, ...],
    force: bool,
) -> int:
    """Carry the pedals of FILE through their arc.

    A table and a few sentences; with -o and --json the same as a picture, CSV or JSON.
    Exit code 1 where a limit is met.
    """
    from linkage.words.sound import stand

    check_endings(outputs, FORMS)
    _check_mix(file, working=working, as_json=as_json)
    design = read(file)
    names = pedals(design, pedal)
    if any(Path(path).suffix.lower() in TABLES for path in outputs):
        names = (one_pedal(design, pedal, "a .csv or .json table"),)
    stand(design, names)
    check_marked(design, outputs, force=force)
    places, count = places_of(file, at, positions)
    if as_json:
        names = (one_pedal(design, pedal, "sweep --json"),)
    found = {name: _swept(design, name, places, count) for name in names}
    if as_json:
        from export.table import json_text
        from linkage.sweeping import sweep_document

        click.echo(json_text(sweep_document(found[names[0]])), nl=False)
        _say_open(design, names[0])
    else:
        _say(design, names, _asked(found, places, positions), working=working)
        if not outputs and all(len(each["travel"]) for each in found.values()):
            outputs = (f"{Path(file).with_suffix('')}-sweep.svg",)
    outputs = _drawable(found, outputs)
    file_of = partial(_file, design, found, door_left=door == "left")
    put_marked(design, outputs, file_of, force=force)
    return DONE_BUT if any(each.limit for each in found.values()) else DONE


def _check_mix(file: str, *, working: bool, as_json: bool) -> None:
    """Refuse a working where nobody would read it."""
    if working and as_json:
        wrong = "it is worked out for people, and --json tells a program."
        fault = Fault(file=file, key="--working", wrong=wrong, right="Leave one out.")
        raise DesignError([fault])


def _swept(
    design: "Design", name: str, places: list[float] | None, count: int
) -> "Sweep":
    from linkage.sweeping import sweep as carry

    return carry(design, name, at=places, positions=count)


def _drawable(found: "dict[str, Sweep]", outputs: tuple[str, ...]) -> tuple[str, ...]:
    """Leave out pictures of what cannot be put together, and say so."""
    if all(len(each["travel"]) for each in found.values()):
        return outputs
    pictures = [path for path in outputs if Path(path).suffix.lower() in PICTURES]
    for path in pictures:
        click.echo(f"{path}: no picture, it cannot be put together.", err=True)
    return tuple(path for path in outputs if path not in pictures)


def _say_open(design: "Design", name: str) -> None:
    """Say beside a document, which has no place for it, what is still free."""
    from linkage.words.still_open import open_text

    text = open_text(design, name)
    if text:
        click.echo(f"{name}: {text}", err=True)


Rows = dict[str, list[float] | None]


def _asked(
    found: "dict[str, Sweep]", places: list[float] | None, positions: int | None
) -> Rows:
    """Return the rows that were asked for, by pedal; None for the usual ones."""
    if positions is None:
        return dict.fromkeys(found, places)
    return {name: swept["travel"].tolist() for name, swept in found.items()}


def _say(
    design: "Design", names: tuple[str, ...], rows: Rows, *, working: bool
) -> None:
    from linkage.words.sweep import sweep_text

    texts = [sweep_text(design, name, rows[name]) for name in names]
    if working:
        from linkage.words.working import working_text

        texts += [working_text(design, name, rows[name]) for name in names]
    click.echo("\n".join(texts), nl=False)


def _file(
    design: "Design", found: "dict[str, Sweep]", ending: str, *, door_left: bool
) -> bytes:
    from linkage.sheets.files import sweep_file

    return sweep_file(design, found, ending, door_left)
