"""What every sheet must hold: letters apart, nothing off the page."""

from export.shapes import Drawing, Path, Text
from linkage.sheets.box import Box, text_box


def letters(drawing: Drawing) -> list[Text]:
    """Return the lines of letters that stand on the page itself."""
    return [item for item in drawing.items if isinstance(item, Text)]


def expect_apart(drawing: Drawing, margin: float) -> None:
    """No two lines of letters overlap, and all stand inside the margins."""
    page = Box(
        left=margin - 0.01,
        bottom=margin - 1.5,
        right=drawing.width - margin + 0.01,
        top=drawing.height - margin + 0.01,
    )
    lines = letters(drawing)
    boxes = [text_box(item) for item in lines]
    for n, (item, box) in enumerate(zip(lines, boxes, strict=True)):
        assert page.holds(box), item.text
        met = [lines[k].text for k in range(n + 1, len(boxes)) if box.meets(boxes[k])]
        assert not met, item.text


def expect_on_page(drawing: Drawing) -> None:
    """No stroke leaves the page."""
    for item in drawing.items:
        if isinstance(item, Path):
            for point in (p for run in item.runs for p in run):
                assert 0.0 <= point.real <= drawing.width
                assert 0.0 <= point.imag <= drawing.height
