"""Load a design file with every part that this program knows."""

from pathlib import Path

from linkage.design.read import read_file, read_text
from linkage.design.records import Design
from linkage.parts import KINDS


def load(path: str | Path) -> Design:
    """Read a design file.

    Raises
    ------
    DesignError
        With every fault of the file.
    """
    return read_file(path, KINDS)


def load_text(text: str, file: str = "text") -> Design:
    """Read a design from its text; ``file`` names it in messages.

    Raises
    ------
    DesignError
        With every fault of the text.
    """
    return read_text(text, file, KINDS)
