"""``footwell check``: every finding of a design, with its limit and who says so."""

from pathlib import Path
from typing import TYPE_CHECKING

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
    output,
    output_option,
    pedal_option,
    pedals,
    put,
    read,
)

if TYPE_CHECKING:
    from linkage.design.records import Design
    from linkage.findings.records import Report

FORMS = (".csv", ".json")


@click.command()
@file_argument
@pedal_option
@click.option(
    "--working", is_flag=True, help="Each with its formula, numbers put in, and source."
)
@json_option
@output_option(FORMS)
@force_option
@command
def check(
    file: str,
    pedal: str | None,
    working: bool,
    as_json: bool,
    outputs: tuple[str, ...],
    force: bool,
) -> int:
    """Check the pedals of FILE: ok, caution, fail, or not checked and what is missing.

    Each finding has its limit and source. [rules] in the file picks the set of limits
    and sets single ones anew. Exit code 1 where something fails. No FAIL does not mean
    safe: your local code and a licensed person have the last word.
    """
    check_endings(outputs, FORMS)
    design = read(file)
    names = pedals(design, pedal)
    from linkage.sheets.stamp import stamp_of

    stamp = stamp_of(design)
    if outputs:
        check_room(outputs, stamp, force=force)
    from linkage.findings.check import check as look

    report = look(design, names)
    if as_json:
        from export.table import json_text
        from linkage.findings.document import report_document

        click.echo(json_text(report_document(design, report)), nl=False)
    else:
        from linkage.words.check import check_text

        text = check_text(design, report, stamp.line, working=working)
        click.echo(text, nl=False)
    _put(design, report, outputs, force=force)
    return DONE_BUT if report.count("fail") else DONE


def _put(
    design: "Design", report: "Report", outputs: tuple[str, ...], *, force: bool
) -> None:
    if not outputs:
        return
    from linkage.sheets.check_files import check_file
    from linkage.sheets.stamp import stamp_of

    files = ((path, check_file(design, report, Path(path).suffix)) for path in outputs)
    stamp = stamp_of(design)
    put([output(path, data, stamp) for path, data in files], force=force)
