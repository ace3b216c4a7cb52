"""``footwell budget``: where the pad's travel goes, and what the car does with it."""

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
    put_marked,
    read,
)
from linkage.faults import DesignError, Fault

if TYPE_CHECKING:
    from linkage.car.asking import Answer, Stated
    from linkage.design.records import Design

FORMS = (".svg", ".png", ".pdf", ".csv", ".json")


@click.command()
@of_file
@click.option("--foot", metavar="FORCE", help='The foot pushes with "300 N".')
@click.option("--pressure", metavar="SIZE", help='The lines have "1000 psi".')
@click.option("--deceleration", metavar="RATE", help='The car stops at "0.8 g0".')
@click.option("--dead", is_flag=True, help="The booster has no assist.")
@click.option("--lost", metavar="CIRCUIT", help="This circuit is lost.")
@answering(FORMS)
def budget(
    file: str,
    pedal: str | None,
    foot: str | None,
    pressure: str | None,
    deceleration: str | None,
    dead: bool,
    lost: str | None,
    as_json: bool,
    outputs: tuple[str, ...],
    force: bool,
) -> int:
    """Tell where the brake pedal's travel goes in FILE, and what the car does.

    State one of --foot, --pressure and --deceleration; without one the car stops at 0.8
    g0, or a file without a car has 7 MPa in its lines. Exit code 1 where that cannot be
    had.
    """
    check_endings(outputs, FORMS)
    given = {"foot": foot, "pressure": pressure, "deceleration": deceleration}
    stated = stated_stop(file, given)
    design = read(file)
    name = one_pedal(design, pedal or pedal_of(design), "budget")
    check_marked(design, outputs, force=force)
    answer = _answer(design, name, stated, dead=dead, lost=lost or "")
    if as_json:
        from export.table import json_text
        from linkage.car.document import answer_document

        click.echo(json_text(answer_document(answer)), nl=False)
    else:
        from linkage.words.budget import budget_text

        click.echo(budget_text(design, answer), nl=False)
    put_marked(design, outputs, partial(_file, design, answer), force=force)
    return DONE_BUT if answer.missed else DONE


def pedal_of(design: "Design") -> str | None:
    """Return the one pedal that fills circuits, where there is just one."""
    found = [
        pedal.name
        for pedal in design.pedals.values()
        if pedal.train and getattr(pedal.train[-1], "circuits", None)
    ]
    return found[0] if len(found) == 1 else None


def stated_stop(
    file: str, given: dict[str, str | None]
) -> "tuple[Stated, float] | None":
    """Read the one thing that is asked; None for the usual stop.

    Raises
    ------
    DesignError
    """
    from linkage.commands.sizes import stated_size
    from linkage.units import BY_NAME, Measure

    measures: dict[Stated, Measure] = {
        "foot": Measure.FORCE,
        "pressure": Measure.PRESSURE,
        "deceleration": Measure.ACCELERATION,
    }
    asked = {name: each for name, each in measures.items() if name in given}
    found = stated_size(file, given, asked)
    if found is None:
        return None
    name, size = found
    gravity = float(BY_NAME["g0"].factor)
    return name, size / gravity if name == "deceleration" else size


def _answer(
    design: "Design",
    name: str,
    stated: "tuple[Stated, float] | None",
    *,
    dead: bool,
    lost: str,
) -> "Answer":
    from linkage.car.asking import ask, usual
    from linkage.car.rig import rig_of

    if dead and getattr(design.pedals[name].train[-1], "booster", None) is None:
        wrong = f"the {name} pedal has no booster that could be dead."
        raise _fault(design.file, "--dead", wrong, "Leave it out.")
    rig = rig_of(design, name, dead=dead, lost=lost)
    of, size = stated or usual(rig)
    if of == "deceleration" and rig.road is None:
        wrong = "a deceleration needs the car, and the file has no [vehicle]."
        raise _fault(
            design.file, "--deceleration", wrong, "State a force or a pressure."
        )
    return ask(rig, of, size)


def _fault(file: str, key: str, wrong: str, right: str) -> DesignError:
    return DesignError([Fault(file=file, key=key, wrong=wrong, right=right)])


def _file(design: "Design", answer: "Answer", ending: str) -> bytes:
    from linkage.sheets.budget_files import budget_file

    return budget_file(design, answer, ending)
