"""What a pedal still leaves open, and that a number is taken in its place."""

from linkage.design.records import Design
from linkage.words.guesses import touches


def open_text(design: Design, pedal: str) -> str:
    """Return one short sentence, "" where all that a pedal rests on is one number."""
    paths = [path for path, each in design.values.items() if each.kind != "fixed"]
    count = sum(touches(design, path, pedal) for path in (*paths, *design.choices))
    if not count:
        return ""
    what = "1 value is" if count == 1 else f"{count} values are"
    return f"{what} still free: read as near, else the middle, else the first choice."
