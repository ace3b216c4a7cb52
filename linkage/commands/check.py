"""``footwell check``: every finding of a design, with its limit and who says so."""

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
    pedals,
    put_marked,
    read,
)

if TYPE_CHECKING:
    from linkage.design.records import Design
    from linkage.findings.records import Report

FORMS = (".csv", ".json")


@click.command()
@of_file
@click.option(
    "--working", is_flag=True, help="Each with its formula, numbers put in, and source."
)
@answering(FORMS)
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
    check_marked(design, outputs, force=force)
    from linkage.findings.check import check as look

    report = look(design, names)
    if as_json:
        from export.table import json_text
        from linkage.findings.document import report_document

        click.echo(json_text(report_document(design, report)), nl=False)
    else:
        from linkage.sheets.stamp import stamp_of
        from linkage.words.check import check_text

        stamp = stamp_of(design).line
        text = check_text(design, report, stamp, working=working)
        click.echo(text, nl=False)
    put_marked(design, outputs, partial(_file, design, report), force=force)
    return DONE_BUT if report.count("fail") else DONE


def _file(design: "Design", report: "Report", ending: str) -> bytes:
    from linkage.sheets.check_files import check_file

    return check_file(design, report, ending)
