"""``footwell cut``: the arm's profile for a cutting table."""

from pathlib import Path

import click

from linkage.commands.frame import (
    DONE,
    DONE_BUT,
    check_endings,
    check_room,
    command,
    file_argument,
    force_option,
    json_option,
    one_pedal,
    output,
    output_option,
    pedal_option,
    put,
    read,
)
from linkage.faults import DesignError, Fault

FORMS = (".dxf",)


@click.command()
@file_argument
@pedal_option
@click.option(
    "--form",
    type=click.Choice(["r12", "r2010", "pieces"]),
    default="r12",
    show_default=True,
    help="Bulged polylines (r12, r2010), or single lines and arcs.",
)
@click.option(
    "--units",
    type=click.Choice(["mm", "in"]),
    default="mm",
    show_default=True,
    help="The unit of the file.",
)
@json_option
@output_option(FORMS)
@force_option
@command
def cut(
    file: str,
    pedal: str | None,
    form: str,
    units: str,
    as_json: bool,
    outputs: tuple[str, ...],
    force: bool,
) -> int:
    """Write the arm of FILE as a DXF that a cutting table takes.

    The written bytes are read back and judged as a cutting desk would; where that
    fails nothing is written and the exit code is 1.
    """
    if not outputs:
        wrong, right = "nothing says where the cut file goes.", "Add -o arm.dxf."
        raise DesignError([Fault(file=file, key="-o", wrong=wrong, right=right)])
    check_endings(outputs, FORMS)
    design = read(file)
    name = one_pedal(design, pedal, "cut")
    check_room(outputs, force=force)
    from linkage.words.cut import job_document, job_text
    from linkage.words.speech import Speech
    from linkage.writing import cut_job

    jobs = [
        cut_job(design, name, Path(path), form=form, units=units) for path in outputs
    ]
    if as_json:
        from export.table import json_text

        click.echo(json_text(job_document(jobs[0])), nl=False)
    else:
        click.echo(job_text(jobs[0], Speech(design.units)))
    if not all(job.ok for job in jobs):
        click.echo("The cut check failed. Nothing was written.", err=True)
        return DONE_BUT
    put(
        [output(path, job.data) for path, job in zip(outputs, jobs, strict=True)],
        force=force,
    )
    return DONE
