"""What stands above and below a sheet of answers: title, what was asked, small print."""

from collections.abc import Iterator, Sequence

from export.lettering import clean, shorten
from export.shapes import Line, Shape, Text

#: mm of paper: round the sheet, down to the rule under its title, of small letters and
#: from line to line of them.
MARGIN, HEAD, SIZE, PITCH = 10.0, 16.0, 2.5, 4.2


def heading(title: str, stated: str, width: float, height: float) -> Iterator[Shape]:
    """Yield the title, what was asked under it, and a rule."""
    top, room = height - MARGIN, width - 2.0 * MARGIN
    words = shorten(clean(title[:200]), 4.0, room, bold=True)
    yield Text(
        at=complex(MARGIN, top - 5.5), text=words, role="letters", size=4.0, bold=True
    )
    yield Text(at=complex(MARGIN, top - 11.0), text=stated, role="letters", size=3.0)
    rule = top - HEAD + 2.0
    yield Line(complex(MARGIN, rule), complex(width - MARGIN, rule), "thin")


def small_print(lines: Sequence[str], top: float) -> Iterator[Shape]:
    """Yield quiet lines one under the other, the first at ``top``."""
    for n, words in enumerate(lines):
        at = complex(MARGIN, top - n * PITCH)
        yield Text(at=at, text=words, role="quiet", size=SIZE)
