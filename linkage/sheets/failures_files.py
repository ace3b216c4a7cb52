"""The bytes of a file of a rehearsal, by its ending."""

from typing import Any

from linkage.design.records import Design
from linkage.rehearsing.document import outcome_row, rehearsal_document
from linkage.rehearsing.rehearse import Rehearsal


def failures_file(design: Design, found: Rehearsal, ending: str) -> bytes:
    """Return one file of a rehearsal.

    Parameters
    ----------
    ending : str
        ".svg", ".png", ".pdf", ".csv" or ".json".
    """
    ending = ending.lower()
    if ending == ".json":
        from export.table import json_text

        return json_text(rehearsal_document(found)).encode()
    if ending == ".csv":
        return _table(design, found).encode()
    from linkage.sheets.failures_picture import failures_picture
    from linkage.sheets.files import drawing_file

    return drawing_file(failures_picture(design, found), ending)


def _table(design: Design, found: Rehearsal) -> str:
    from export.table import csv_text
    from linkage.last_word import FINDINGS
    from linkage.sheets.stamp import stamp_of
    from linkage.sheets.tables import DESIGN

    rows = [outcome_row(each) for each in found.outcomes]
    rules: list[dict[str, Any]] = [row["rule"] or {} for row in rows]
    first = [None] * (len(rows) - 1)
    return csv_text(
        {
            "failure": [row["failure"] for row in rows],
            "assumed": [row["assumed"] for row in rows],
            "effort, N": [row["effort"] for row in rows],
            "travel, mm": [row["travel"] for row in rows],
            "share, %": [row["share"] for row in rows],
            "stopped by": [row["stopped_by"] for row in rows],
            "ends first": [row["first"]["what"] for row in rows],
            "at, mm": [row["first"]["travel"] for row in rows],
            "deceleration, g0": [row["deceleration"] for row in rows],
            "locked": [" ".join(row["locked"]) for row in rows],
            "tilt, deg": [row["tilt"] for row in rows],
            "asked, m/s2": [rule.get("asked") for rule in rules],
            "takes, N": [rule.get("effort") for rule in rules],
            "takes, mm": [rule.get("travel") for rule in rules],
            "takes, %": [rule.get("share") for rule in rules],
            "best, m/s2": [rule.get("best") for rule in rules],
            "missed": [rule.get("missed") for rule in rules],
            "source": [rule.get("source") for rule in rules],
            "caution": [FINDINGS, *first],
            DESIGN: [stamp_of(design).mark, *first],
        }
    )
