"""The bytes of a file of a pedal under load, by its ending."""

from collections.abc import Sequence

from linkage.design.records import Design
from linkage.pressing.press import Loaded


def effort_file(
    design: Design, loaded: Loaded, places: Sequence[float], ending: str
) -> bytes:
    """Return one file of a pedal under load.

    Parameters
    ----------
    places : sequence of float
        Of the travel, mm.
    ending : str
        ".svg", ".png", ".pdf", ".csv" or ".json".
    """
    ending = ending.lower()
    if ending == ".json":
        from export.table import json_text
        from linkage.pressing.document import pressed_document

        return json_text(pressed_document(loaded, places)).encode()
    if ending == ".csv":
        from linkage.sheets.tables import csv_table

        return csv_table(design, loaded.columns(places)).encode()
    from linkage.sheets.effort_picture import effort_picture
    from linkage.sheets.files import drawing_file

    return drawing_file(effort_picture(design, loaded), ending)
