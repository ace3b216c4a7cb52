"""``footwell pattern``: the arm on full-size paper."""

import click

from linkage.commands.frame import (
    DONE,
    check_endings,
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

FORMS = (".pdf",)


@click.command()
@file_argument
@pedal_option
@click.option(
    "--paper",
    type=click.Choice(["a4", "letter", "a3"], case_sensitive=False),
    help="Left out: letter for a file in inches, else a4.",
)
@json_option
@output_option(FORMS)
@force_option
@command
def pattern(
    file: str,
    pedal: str | None,
    paper: str | None,
    as_json: bool,
    outputs: tuple[str, ...],
    force: bool,
) -> int:
    """Draw the arm of FILE at full size, over as many sheets as it takes.

    Print at 100 % and measure the two bars before you trust it.
    """
    if not outputs:
        wrong, right = "nothing says where the pattern goes.", "Add -o arm.pdf."
        raise DesignError([Fault(file=file, key="-o", wrong=wrong, right=right)])
    check_endings(outputs, FORMS)
    design = read(file)
    name = one_pedal(design, pedal, "pattern")
    from export.pdf import pdf_bytes
    from linkage.sheets.pattern import BARS, usual_paper
    from linkage.writing import pattern_sheets

    sheet = (paper or usual_paper(design.units)).lower()
    pages = pattern_sheets(design, name, sheet)
    data = pdf_bytes(pages)
    put([output(path, data) for path in outputs], force=force)
    if as_json:
        from export.table import json_text

        told = {"pedal": name, "paper": sheet, "sheets": len(pages)}
        click.echo(json_text({**told, "written": list(outputs)}), nl=False)
        return DONE
    sheets = "1 sheet" if len(pages) == 1 else f"{len(pages)} sheets"
    click.echo(
        f"{name} arm: {sheets} of {sheet.capitalize()}. Print at 100 %, then measure both "
        f"{BARS[design.units].text} bars.\nNOT CHECKED: strength. This outline is a shape, not a proof."
    )
    return DONE
