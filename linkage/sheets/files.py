"""The bytes of a file, by its ending."""

from collections.abc import Mapping

from export.shapes import Drawing
from linkage.design.records import Design
from linkage.faults import DesignError, Fault
from linkage.sweeping import Sweep, sweep_document


def sweep_file(
    design: Design, found: Mapping[str, Sweep], ending: str, door_left: bool
) -> bytes:
    """Return one file of a sweep.

    Parameters
    ----------
    design : Design
    found : mapping of str to Sweep
        By pedal; tables take one.
    ending : str
        ".svg", ".png", ".pdf", ".csv" or ".json".
    door_left : bool
        Pictures with forward to the left.

    Raises
    ------
    DesignError
        For a table of several pedals.
    """
    ending = ending.lower()
    if ending in (".csv", ".json"):
        return _table(design, found, ending).encode()
    from linkage.sheets.staging import scene_of
    from linkage.sheets.sweep_picture import sweep_picture

    drawing = sweep_picture(scene_of(design, tuple(found), door_left=door_left))
    return drawing_file(drawing, ending)


def drawing_file(drawing: Drawing, ending: str) -> bytes:
    """Return one sheet as ".svg", ".png" or ".pdf"."""
    if ending == ".svg":
        from export.svg import svg_text

        return svg_text(drawing).encode()
    if ending == ".png":
        from export.png import png_bytes

        return png_bytes(drawing)
    from export.pdf import pdf_bytes

    return pdf_bytes([drawing])


def _table(design: Design, found: Mapping[str, Sweep], ending: str) -> str:
    if len(found) > 1:
        wrong = f"a {ending} table is of one pedal, and this file has several."
        right = f"Say which: --pedal {' or --pedal '.join(found)}."
        raise DesignError(
            [Fault(file=design.file, key="--pedal", wrong=wrong, right=right)]
        )
    (swept,) = found.values()
    if ending == ".json":
        from export.table import json_text

        return json_text(sweep_document(swept))
    from linkage.sheets.tables import csv_table

    return csv_table(design, swept.columns)
