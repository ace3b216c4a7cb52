"""Places of the travel that were asked for and have no row: which, and why."""

from collections.abc import Iterable, Iterator

from linkage.words.speech import Speech


def left_out(
    asked: Iterable[float], shown: Iterable[float], why: str, speech: Speech
) -> Iterator[tuple[str, str]]:
    """Yield the sentence about places without a row; none where all have one.

    Parameters
    ----------
    asked, shown : iterable of float
        mm of pad.
    why : str
        What lies before them: "a dead centre at 18.44".
    speech : Speech

    Yields
    ------
    tuple of str
        Name and sentence.
    """
    known = set(shown)
    gone = [_said(place, speech) for place in asked if place not in known]
    if gone:
        yield "No row", f"for {', '.join(gone)} of pad: before that lies {why}."


def _said(place: float, speech: Speech) -> str:
    """Return a place with its unit, and as it is typed behind ``--at``."""
    if speech.units == "mm":
        return f"{place:g} mm"
    return f"{speech.short(place, speech.coarse)} in ({place:g} mm)"
