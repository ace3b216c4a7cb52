"""A design file as text: from disk, or the one fault that it cannot be had."""

import difflib
from pathlib import Path

from linkage.faults import DesignError, Fault

#: Larger files are refused before they are looked at, in bytes.
LARGEST = 1_000_000


def text_of(path: Path) -> str:
    """Return the text of a design file as it stands, a byte-order mark in front too.

    Raises
    ------
    DesignError
        It cannot be read, is too large, or is not text.
    """
    if path.is_dir():
        raise refused(path, "is a folder.", "Name a file, such as brake.toml.")
    try:
        with path.open("rb") as file:
            raw = file.read(LARGEST + 1)
    except FileNotFoundError:
        raise refused(path, "there is no such file.", _near(path)) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "not a name of a file"
        wrong = f"cannot be read: {reason.lower()}."
        raise refused(path, wrong, "Name a file that you may read.") from None
    if len(raw) > LARGEST:
        raise refused(path, "is larger than 1 MB.", "No design file is.")
    try:
        return raw.decode()
    except UnicodeDecodeError as error:
        if b"\0" in raw:
            raise refused(path, "is not text.", "Name a design file (TOML).") from None
        line = raw.count(b"\n", 0, error.start) + 1
        raise refused(
            path, "is not text in UTF-8.", "Save it as UTF-8 in the editor.", line
        ) from None


def refused(path: Path, wrong: str, right: str, line: int = 0) -> DesignError:
    """Return the error of a file that is refused as a whole."""
    return DesignError([Fault(file=str(path), line=line, wrong=wrong, right=right)])


def _near(path: Path) -> str:
    """Return the nearest file beside a missing one, in words."""
    try:
        beside = sorted(p.name for p in path.parent.glob("*.toml"))[:200]
    except (OSError, ValueError):
        beside = []
    near = difflib.get_close_matches(path.name, beside, n=1)
    return f"Nearest: {near[0]}." if near else "Look at its name and its folder."
