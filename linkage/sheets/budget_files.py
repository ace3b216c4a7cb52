"""The bytes of a file of a brake's answer, by its ending."""

from linkage.car.asking import Answer
from linkage.design.records import Design


def budget_file(design: Design, answer: Answer, ending: str) -> bytes:
    """Return one file of an answer.

    Parameters
    ----------
    ending : str
        ".svg", ".png", ".pdf", ".csv" or ".json".
    """
    ending = ending.lower()
    if ending == ".json":
        from export.table import json_text
        from linkage.car.document import answer_document

        return json_text(answer_document(answer)).encode()
    if ending == ".csv":
        return _table(design, answer).encode()
    from linkage.sheets.budget_picture import budget_picture
    from linkage.sheets.files import drawing_file

    return drawing_file(budget_picture(design, answer), ending)


def _table(design: Design, answer: Answer) -> str:
    from export.table import csv_text
    from linkage.sheets.stamp import stamp_of
    from linkage.sheets.tables import DESIGN

    rows = answer.rows
    mark = [stamp_of(design).mark, *([None] * (len(rows) - 1))][: len(rows)]
    return csv_text(
        {
            "cause": [row.cause for row in rows],
            "circuit": [row.circuit for row in rows],
            "volume, mm3": [row.volume for row in rows],
            "rod, mm": [row.moved for row in rows],
            "pad, mm": [row.pad for row in rows],
            DESIGN: mark,
        }
    )
