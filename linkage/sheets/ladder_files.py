"""The bytes of a file of a ladder, by its ending."""

from linkage.design.records import Design
from linkage.ladder.climb import Ladder
from linkage.ladder.document import TOLD, ladder_document, pair_rows
from linkage.ladder.judging import Judged

#: Columns of a table beside what is told of each pair, with their heads.
PAIR = {"hole": "hole", "reach": "reach, mm", "stock": "stock", "bore": "bore, mm"}
LAST = {"all_there_is": "all there is", "missed": "missed", "verdict": "verdict"}


def ladder_file(
    design: Design, ladder: Ladder, judged: Judged | None, ending: str
) -> bytes:
    """Return one file of a ladder.

    Parameters
    ----------
    ending : str
        ".svg", ".png", ".pdf", ".csv" or ".json".
    """
    ending = ending.lower()
    if ending == ".json":
        from export.table import json_text

        return json_text(ladder_document(ladder, judged)).encode()
    if ending == ".csv":
        return _table(design, ladder, judged).encode()
    from linkage.sheets.files import drawing_file
    from linkage.sheets.ladder_picture import ladder_picture

    return drawing_file(ladder_picture(design, ladder, judged), ending)


def _table(design: Design, ladder: Ladder, judged: Judged | None) -> str:
    from export.table import csv_text
    from linkage.sheets.stamp import stamp_of
    from linkage.sheets.tables import DESIGN

    rows = pair_rows(ladder, judged)
    told = {what: f"{what}, {unit}" for what, unit in TOLD.items()}
    heads = {**PAIR, **told, **LAST}
    cells = {head: [row[key] for row in rows] for key, head in heads.items()}
    now = ["now" if row["present"] else None for row in rows]
    mark = [stamp_of(design).mark, *[None] * (len(rows) - 1)]
    return csv_text({**cells, "now": now, DESIGN: mark})
