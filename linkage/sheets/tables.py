"""Columns as a CSV table that says which design it is of."""

from collections.abc import Mapping

from export.table import Cells, csv_text
from linkage.design.records import Design
from linkage.sheets.stamp import stamp_of
from linkage.sweeping import Series

#: Head of the last column, whose first row says which design the table is of.
DESIGN = "design"


def csv_table(design: Design, columns: Mapping[str, Series]) -> str:
    """Return columns as CSV, and which design they are of.

    That stands in a column of its own, the last, in its first row: so every line of the
    table is a row with as many cells as the head has, and all other columns hold
    numbers alone.
    """
    cells: dict[str, Cells] = {
        f"{name}, {each.unit}": each.values for name, each in columns.items()
    }
    rows = max((len(each.values) for each in columns.values()), default=0)
    mark: list[str | None] = [stamp_of(design).mark, *[None] * rows]
    return csv_text({**cells, DESIGN: mark[:rows]})
