"""``footwell ladder``: every stock bore with every hole, for one stop."""

from functools import partial
from typing import TYPE_CHECKING

import click

from linkage.commands.budget import pedal_of, stated_stop
from linkage.commands.frame import (
    DONE,
    DONE_BUT,
    answering,
    check_endings,
    check_marked,
    of_file,
    one_pedal,
    put_marked,
    read,
)

if TYPE_CHECKING:
    from linkage.design.records import Design
    from linkage.ladder.climb import Ladder
    from linkage.ladder.judging import Judged

FORMS = (".svg", ".png", ".pdf", ".csv", ".json")


@click.command()
@of_file
@click.option("--deceleration", metavar="RATE", help='The car stops at "0.8 g0".')
@click.option("--pressure", metavar="SIZE", help='The lines have "1000 psi".')
@click.option(
    "--foot", metavar="FORCE", help='Line pressure is told at "500 N" of foot.'
)
@click.option(
    "--hole",
    "holes",
    multiple=True,
    metavar="HOLE",
    help="A hole of the file by its name, or its distance from the pivot.",
)
@answering(FORMS)
def ladder(
    file: str,
    pedal: str | None,
    deceleration: str | None,
    pressure: str | None,
    foot: str | None,
    holes: tuple[str, ...],
    as_json: bool,
    outputs: tuple[str, ...],
    force: bool,
) -> int:
    """Try every stock bore with every hole of the brake pedal of FILE.

    Foot, travel, stroke and what is left at one stop: 0.8 g0, or 7 MPa in a file
    without a car. Without --hole: the holes that the file names, else steps along the
    arm each side of the present one. Exit code 1 where no pair meets every limit.
    """
    check_endings(outputs, FORMS)
    stated = stated_stop(file, {"deceleration": deceleration, "pressure": pressure})
    push = stated_stop(file, {"foot": foot})
    design = read(file)
    name = one_pedal(design, pedal or pedal_of(design), "ladder")
    check_marked(design, outputs, force=force)
    from linkage.ladder.climb import FOOT, ladder_of
    from linkage.ladder.judging import judge
    from linkage.limits.sets import rule_set

    newtons = FOOT if push is None else push[1]
    found = ladder_of(design, name, stated=stated, foot=newtons, holes=holes)
    judged = judge(found, rule_set(design.rules).limits)
    if as_json:
        from export.table import json_text
        from linkage.ladder.document import ladder_document

        click.echo(json_text(ladder_document(found, judged)), nl=False)
    else:
        from linkage.words.ladder import ladder_text

        click.echo(ladder_text(design, found, judged), nl=False)
    put_marked(design, outputs, partial(_file, design, found, judged), force=force)
    return DONE_BUT if _none(found, judged) else DONE


def _none(found: "Ladder", judged: "Judged | None") -> bool:
    """Return whether no pair meets every limit, or none makes the stop."""
    good = found.ends == "" if judged is None else judged.verdicts == "ok"
    return not good.any()


def _file(
    design: "Design", found: "Ladder", judged: "Judged | None", ending: str
) -> bytes:
    from linkage.sheets.ladder_files import ladder_file

    return ladder_file(design, found, judged, ending)
