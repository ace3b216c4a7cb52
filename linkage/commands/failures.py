"""``footwell failures``: a brake on its worst days, one after the other."""

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
    from linkage.rehearsing.rehearse import Rehearsal

FORMS = (".svg", ".png", ".pdf", ".csv", ".json")


@click.command()
@of_file
@click.option("--foot", metavar="FORCE", help='The foot pushes with "100 lbf" at most.')
@click.option("--knocked", metavar="SIZE", help='Pads are knocked back by "0.5 mm".')
@click.option("--air", metavar="VOLUME", help='"1 cc" of air is in each circuit.')
@answering(FORMS)
def failures(
    file: str,
    pedal: str | None,
    foot: str | None,
    knocked: str | None,
    air: str | None,
    as_json: bool,
    outputs: tuple[str, ...],
    force: bool,
) -> int:
    """Rehearse what can fail of the brake in FILE, and tell what is left.

    Booster dead, each circuit lost, pads knocked back, fluid hot, air in it, bar wound
    to its end: where the pad ends, what ends first, and how hard the car still stops.
    Exit code 1 where one of them misses the stop that is asked of it.
    """
    check_endings(outputs, FORMS)
    sizes = _sizes(file, foot=foot, knocked=knocked, air=air)
    design = read(file)
    name = one_pedal(design, pedal or pedal_of(design), "a rehearsal")
    check_marked(design, outputs, force=force)
    from linkage.rehearsing.rehearse import rehearse

    found = rehearse(design, name, **sizes)
    if as_json:
        from export.table import json_text
        from linkage.rehearsing.document import rehearsal_document

        click.echo(json_text(rehearsal_document(found)), nl=False)
    else:
        from linkage.words.failures import failures_text

        click.echo(failures_text(design, found), nl=False)
    put_marked(design, outputs, partial(_file, design, found), force=force)
    return DONE_BUT if found.misses else DONE


def _sizes(file: str, *, foot: str | None, **bad: str | None) -> dict[str, float]:
    """Return the sizes that are stated, in internal units, by their options."""
    from linkage.commands.sizes import stated_size
    from linkage.units import Measure

    measures = {"knocked": Measure.LENGTH, "air": Measure.VOLUME}
    push = stated_stop(file, {"foot": foot})
    found = [stated_size(file, bad, {name: each}) for name, each in measures.items()]
    return dict(each for each in (push, *found) if each is not None)


def _file(design: "Design", found: "Rehearsal", ending: str) -> bytes:
    from linkage.sheets.failures_files import failures_file

    return failures_file(design, found, ending)
