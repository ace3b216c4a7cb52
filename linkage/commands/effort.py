"""``footwell effort``: what the foot feels, and every force of the train."""

from functools import partial
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

if TYPE_CHECKING:
    from linkage.design.records import Design
    from linkage.loads.foot import Push
    from linkage.pressing.press import Loaded, Stated

FORMS = (".svg", ".png", ".pdf", ".csv", ".json")


@click.command()
@of_file
@click.option("--foot", metavar="FORCE", help='The foot pushes with "500 N".')
@click.option(
    "--end",
    metavar="FORCE",
    help='The piston, or the last cable or rod, takes "2 kN".',
)
@click.option("--pressure", metavar="SIZE", help='The cylinder makes "1000 psi".')
@click.option("--torque", metavar="SIZE", help='The last lever takes "2 N m".')
@click.option(
    "--push",
    type=click.Choice(["path", "leg"]),
    help="The foot pushes along the pad's path, or from the hip.",
)
@click.option(
    "--at",
    metavar="MM,MM,..",
    help='Only at these places of the travel: mm, or "1 in".',
)
@click.option("--positions", type=int, metavar="N", help="N equal steps, both ends in.")
@answering(FORMS)
def effort(
    file: str,
    pedal: str | None,
    foot: str | None,
    end: str | None,
    pressure: str | None,
    torque: str | None,
    push: "Push | None",
    at: str | None,
    positions: int | None,
    as_json: bool,
    outputs: tuple[str, ...],
    force: bool,
) -> int:
    """Load the pedals of FILE: effort against travel, and every force of the train.

    State one of --foot, --end, --pressure and --torque; without one the foot pushes
    with 500 N on a brake (the most that FMVSS 135 S7.5 lets a test driver use), else
    with 100 N. Exit code 1 where a limit is met.
    """
    check_endings(outputs, FORMS)
    given = {"foot": foot, "end": end, "pressure": pressure, "torque": torque}
    stated = _stated(file, given)
    places, count = places_of(file, at, positions)
    design = read(file)
    names = pedals(design, pedal)
    if as_json or outputs:
        what = "effort --json" if as_json else "effort -o"
        names = (one_pedal(design, pedal, what),)
    check_marked(design, outputs, force=force)
    upto = max(places, default=0.0) if places is not None else 0.0
    found = [_loaded(design, name, stated, push, upto) for name in names]
    if places is None and (positions is not None or as_json or outputs):
        import numpy as np

        rows = np.linspace(0.0, found[0].travel, count).tolist()
    else:
        rows = places
    if as_json:
        from export.table import json_text
        from linkage.pressing.document import pressed_document

        document = pressed_document(found[0], rows or [])
        click.echo(json_text(document), nl=False)
    else:
        from linkage.words.effort import effort_text

        asked = rows if positions is not None else places
        texts = [
            effort_text(design, each, asked, usual=stated is None) for each in found
        ]
        click.echo("\n".join(texts), nl=False)
    file_of = partial(_file, design, found[0], rows or [])
    put_marked(design, outputs, file_of, force=force)
    return DONE_BUT if any(each.limit for each in found) else DONE


def _stated(file: str, given: dict[str, str | None]) -> "tuple[Stated, float] | None":
    """Read the one thing that is stated; None for the usual push of a foot.

    Raises
    ------
    DesignError
    """
    from linkage.commands.sizes import stated_size
    from linkage.units import Measure

    measures: dict[Stated, Measure] = {
        "foot": Measure.FORCE,
        "end": Measure.FORCE,
        "pressure": Measure.PRESSURE,
        "torque": Measure.TORQUE,
    }
    return stated_size(file, given, measures)


def _loaded(
    design: "Design",
    name: str,
    stated: "tuple[Stated, float] | None",
    push: "Push | None",
    upto: float,
) -> "Loaded":
    from linkage.pressing.press import load_pedal, usual_push

    of, size = stated or ("foot", usual_push(design.pedals[name]))
    return load_pedal(design, name, of, size, push=push, upto=upto)


def _file(design: "Design", loaded: "Loaded", rows: list[float], ending: str) -> bytes:
    from linkage.sheets.effort_files import effort_file

    return effort_file(design, loaded, rows, ending)
