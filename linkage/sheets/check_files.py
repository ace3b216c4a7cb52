"""The bytes of a report: JSON, or a table with a row a finding."""

from linkage.design.records import Design
from linkage.findings.document import report_document
from linkage.findings.records import Report
from linkage.sheets.stamp import stamp_of
from linkage.sheets.tables import DESIGN

#: Columns that are taken from the document as they stand there.
PLAIN = (
    *("pedal", "finding", "verdict", "value", "bound", "unit", "travel"),
    *("reason", "source", "working", "note"),
)
ENDS = ("fail_under", "least", "most", "fail_over")


def check_file(design: Design, report: Report, ending: str) -> bytes:
    """Return one file of a report.

    Parameters
    ----------
    ending : str
        ".csv" or ".json".
    """
    from export.table import csv_text, json_text

    document = report_document(design, report)
    if ending.lower() == ".json":
        return json_text(document).encode()
    rows = document["findings"]
    cells = {name: [row[name] for row in rows] for name in PLAIN}
    limits = {end: [(row["limit"] or {}).get(end) for row in rows] for end in ENDS}
    missing = [(row["missing"] or {}).get("what") for row in rows]
    give = [(row["missing"] or {}).get("give") for row in rows]
    below: list[str | None] = [None] * (len(rows) - 1)
    return csv_text(
        {
            **cells,
            **limits,
            "missing": missing,
            "give": give,
            "caution": [document["caution"], *below][: len(rows)],
            DESIGN: [stamp_of(design).mark, *below][: len(rows)],
        }
    ).encode()
