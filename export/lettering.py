"""How much room letters take, and which characters may be drawn at all.

Widths are those of the sans face that comes with matplotlib, which is wider than the
usual sans faces of a browser: a label that fits here fits there. Sizes are heights of
capitals in mm (ISO 3098); no font file is opened here.
"""

import unicodedata

#: Height of a capital, of the part above it and below the base line, in em.
CAPITAL = 0.729
ASCENT = 0.760
DESCENT = 0.236

#: Advances of the characters from space to tilde, in thousandths of an em.
_PLAIN = (
    "318 401 460 838 637 951 780 275 391 391 500 838 318 361 318 337 637 637 637 "
    "637 637 637 637 637 637 637 337 337 838 838 838 531 1000 685 687 699 771 632 "
    "576 775 752 295 295 656 558 863 749 788 604 788 695 635 611 732 685 989 686 "
    "611 686 391 337 391 838 500 500 613 635 550 635 616 353 635 634 278 278 580 "
    "278 975 634 612 635 635 412 521 393 634 592 818 592 592 525 637 337 637 838"
)
_ADVANCE = {chr(32 + i): int(w) / 1000.0 for i, w in enumerate(_PLAIN.split())}
_BOLD = 1.27  # no plain character grows by more in the bold face
_OTHER = 1.05  # a character that the table does not hold
_WIDE = 1.35  # East Asian full width, drawn by whatever face has it

_FORBIDDEN = {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}


def clean(text: str) -> str:
    """Return ``text`` on one line without what could steer a reader.

    Control and format characters (among them those that turn the writing direction),
    lone surrogates, private and unassigned code points become a space, at most one in
    a row.
    """
    kept = "".join(" " if unicodedata.category(c) in _FORBIDDEN else c for c in text)
    return " ".join(kept.split())


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Return a safe width of ``text``, mm, for capitals ``size`` mm high."""
    em = sum(_advance(c) for c in text)
    return em * (_BOLD if bold else 1.0) * size / CAPITAL


def _advance(char: str) -> float:
    known = _ADVANCE.get(char)
    if known is not None:
        return known
    if unicodedata.combining(char):
        return 0.0
    base = unicodedata.normalize("NFD", char)[0]
    if base in _ADVANCE:
        return _ADVANCE[base]
    return _WIDE if unicodedata.east_asian_width(char) in "WF" else _OTHER


def shorten(text: str, size: float, width: float, *, bold: bool = False) -> str:
    """Return ``text``, cleaned and cut with an ellipsis to fit into ``width`` mm."""
    whole = clean(text[:2000])
    if len(text) <= 2000 and text_width(whole, size, bold=bold) <= width:
        return whole
    room = width - text_width("…", size, bold=bold)
    used, kept = 0.0, 0
    for char in whole:
        used += text_width(char, size, bold=bold)
        if used > room:
            break
        kept += 1
    return whole[:kept].rstrip() + "…"


def wrap(text: str, size: float, width: float) -> tuple[str, ...]:
    """Return ``text`` broken at spaces into lines no wider than ``width`` mm."""
    lines: list[str] = []
    for word in clean(text).split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, size) <= width:
            lines[-1] = longer
        else:
            lines.append(shorten(word, size, width))
    return tuple(lines)
