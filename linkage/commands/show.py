"""``footwell show``: a design file read back in words."""

import click

from linkage.commands.frame import (
    DONE,
    command,
    file_argument,
    json_option,
    pedal_option,
    pedals,
    read,
)


@click.command()
@file_argument
@pedal_option
@json_option
@command
def show(file: str, pedal: str | None, as_json: bool) -> int:
    """Read FILE back in words, with tape lengths that nobody typed.

    Says what each guess sways, and which reading is worth doing twice.
    """
    from linkage.sheets.stamp import stamp_of
    from linkage.words.show import show_text
    from linkage.words.show_document import show_document
    from linkage.words.sound import stand

    design = read(file)
    names = pedals(design, pedal)
    stand(design, names)
    if as_json:
        from export.table import json_text

        click.echo(json_text(show_document(design, names)), nl=False)
        return DONE
    stamp = stamp_of(design).line
    texts = [show_text(design, name, stamp) for name in names]
    click.echo("\n".join(texts), nl=False)
    return DONE
