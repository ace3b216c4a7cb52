"""What the letters of a working mean: each means one thing, and is explained once.

A letter that a line works out is explained by the words over that line; here stand
those that are put in. Each part of a train is worked with its own numbers for them.
"""

import re
from collections.abc import Iterable, Iterator

#: Letters that are put in, in the order in which they come up.
SYMBOLS = {
    "px, pz": "the pivot of what drives a part: the arm, then each lever",
    "reach, angle": "from that pivot to the driving hole, with the pedal at rest",
    "turn": "of what drives a part, from rest: of the arm, then the swing of each lever",
    "sx, sz": "where the rod's end is with the pedal at rest",
    "axis": "the way the piston goes",
    "rod": "length of the rod",
    "free_play": "the gap between rod and piston at rest",
    "qx, qz": "the pivot of the lever that is driven",
    "c": "from the pivot of a driven lever to the hole in which it is driven",
    "side": "1 or -1: which of two places that fit is meant",
    "rested": "psi with the pedal at rest",
    "gx, gz": "the ferrule at the near end of the cable",
    "rest": "from the hole to that ferrule with the pedal at rest",
    "drum": "radius of the drum round the driving pivot",
    "slack": "what is drawn before the far end moves",
    "free": "from the far ferrule to the lever's hole with the pedal at rest",
    "span, toward": "from the driven pivot to the far ferrule: how far, which way",
    "a": "radius of the quadrant",
    "ux, uz": "one long, along the line of pull or push",
    "tx, tz": "from the pivot to a point of that line",
}


def glossary(lines: Iterable[str]) -> Iterator[str]:
    """Return a line for each letter that stands in a formula and is put in."""
    used = {
        word
        for line in lines
        if line.startswith("  ") and not line.startswith("  =")
        for word in re.findall(r"[A-Za-z_]+", line)
    }
    for letters, means in SYMBOLS.items():
        if used & set(letters.split(", ")):
            yield f"  {letters:<13} {means}"
