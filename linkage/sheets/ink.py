"""How each role of a sheet looks, in one place.

Strokes follow ISO 128: thick for edges, thin for the rest, long dash and dot for
centres. Colours are those of Okabe and Ito (2008) and their tints on white; none
carries a meaning alone, each has a dash, a hatch or a word beside it.
"""

from collections.abc import Mapping

from export.shapes import Style

DARK = "#1a1a1a"
GREY = "#6b6b6b"
BLUE = "#0072b2"
VERMILLION = "#d55e00"
GREEN = "#009e73"
PURPLE = "#a8447f"  # reddish purple, darkened to be read on white
ORANGE = "#e69f00"

THICK, THIN, FINE = 0.5, 0.25, 0.18
_HIDDEN = (3.0, 1.2)
_CENTRE = (7.0, 1.2, 1.0, 1.2)

STYLES: Mapping[str, Style] = {
    "paper": Style(width=0.0, fill="#ffffff"),
    "letters": Style(colour=DARK),
    "quiet": Style(colour="#505050"),
    "outline": Style(width=THICK, colour=DARK, round=True),
    "thin": Style(width=THIN, colour=DARK),
    "fine": Style(width=FINE, colour=GREY),
    "centre": Style(width=FINE, colour=DARK, dash=_CENTRE),
    "hatch": Style(width=0.13, colour=DARK),
    "head": Style(width=0.0, fill=DARK),
    "dot": Style(width=0.0, fill=DARK),
    "dimension": Style(width=FINE, colour=DARK),
    "leader": Style(width=0.13, colour="#505050"),
    "ground": Style(width=0.7, colour=DARK),
    "fixed": Style(width=0.6, colour=DARK, round=True),
    "datum": Style(width=THIN, colour=BLUE, dash=(9.0, 1.5, 2.0, 1.5)),
    "sole": Style(width=FINE, colour="#8a8a8a", fill="#f1eee7"),
    "arm rest": Style(width=THICK, colour=DARK, fill="#dfe5ea", round=True),
    "arm mid": Style(width=FINE, colour=DARK, round=True),
    "arm full": Style(width=0.3, colour=DARK, dash=_HIDDEN),
    "plate rest": Style(width=THIN, colour=DARK, fill="#4d5860"),
    "plate mid": Style(width=FINE, colour=DARK),
    "plate full": Style(width=0.3, colour=DARK, dash=_HIDDEN),
    "rod rest": Style(width=0.9, colour=VERMILLION, round=True),
    "rod mid": Style(width=FINE, colour=VERMILLION),
    "rod full": Style(width=0.35, colour=VERMILLION, dash=_HIDDEN),
    "cable rest": Style(width=0.6, colour=PURPLE, round=True),
    "cable mid": Style(width=FINE, colour=PURPLE),
    "cable full": Style(width=0.35, colour=PURPLE, dash=_HIDDEN),
    "casing": Style(width=1.4, colour="#d9b8cb", round=True),
    "pin": Style(width=THIN, colour=DARK, fill="#ffffff"),
    "body": Style(width=0.35, colour=DARK, fill="#ffffff"),
    "bore": Style(width=FINE, colour=DARK, fill="#f6f8fa"),
    "piston": Style(width=THIN, colour=DARK, fill="#c4ccd2"),
    "piston full": Style(width=THIN, colour=DARK, dash=(1.6, 0.8)),
    "arc": Style(width=0.35, colour=BLUE),
    "arc letters": Style(colour=BLUE),
    "square": Style(width=0.35, colour=GREEN),
    "square letters": Style(colour="#00664a"),
    "grid": Style(width=0.1, colour="#b5b5b5"),
    "axis": Style(width=THIN, colour=DARK),
    "band": Style(width=0.0, fill="#d3ede4"),
    "band edge": Style(width=0.3, colour=GREEN),
    "band letters": Style(colour="#00664a"),
    "wall": Style(width=0.5, colour=VERMILLION),
    "wall hatch": Style(width=0.18, colour=VERMILLION),
    "wall letters": Style(colour="#a34700"),
    "series 1": Style(width=0.6, colour=BLUE, round=True),
    "series 2": Style(width=0.6, colour=VERMILLION, dash=(4.0, 1.2)),
    "series 3": Style(width=0.6, colour=GREEN, dash=(1.2, 1.0)),
    "series 4": Style(width=0.6, colour=PURPLE, dash=(6.0, 1.2, 1.0, 1.2)),
    "series 5": Style(width=0.6, colour=ORANGE, dash=(2.5, 1.0)),
    "series 6": Style(width=0.6, colour=DARK, dash=(0.8, 1.4)),
    "blank": Style(width=THIN, colour=DARK),
    "number": Style(width=THIN, colour=DARK, fill="#ffffff"),
    "cut": Style(width=0.35, colour=DARK),
    "bore circle": Style(width=0.35, colour=DARK),
    "prick": Style(width=FINE, colour=DARK),
}
