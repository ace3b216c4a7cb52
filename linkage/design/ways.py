"""The words for the ways that a number may count: forward, back, up, down, ahead.

A word stands for a sign, so no minus stands behind one: the opposite word says the
same. A range may cross nought; what is then filled in on its far side takes the
opposite word. This module knows no file and no form of a point.
"""

from linkage.design.values import Value

#: What each word of a direction means, in quarter turns from forward.
WORDS = {"forward": 0, "up": 1, "back": 2, "down": -1}
ALIASES = {
    "ahead": "forward",
    "forwards": "forward",
    "backward": "back",
    "backwards": "back",
    "upward": "up",
    "upwards": "up",
    "downward": "down",
    "downwards": "down",
}
#: The other end of a car, or of what lies across from it.
SIDES = {"front": "rear", "rear": "front"}
#: The word that says the same with the other sign, of a coordinate.
OPPOSITE = {"ahead": "back", "back": "ahead", "up": "down", "down": "up"}


def quarter(word: str) -> int:
    """Return the quarter turns from forward that a word means, in any case."""
    word = word.lower()
    return WORDS[ALIASES.get(word, word)]


def word_of(turns: int) -> str:
    """Return the word for quarter turns from forward.

    >>> word_of(quarter("Ahead") + 2), word_of(-1)
    ('back', 'down')
    """
    return ("forward", "up", "back", "down")[turns % 4]


def turned(word: str) -> str:
    """Return the word for the opposite way, or for the other side.

    >>> turned("back"), turned("Upwards"), turned("front")
    ('forward', 'down', 'rear')
    """
    return SIDES.get(word.lower()) or word_of(quarter(word) + 2)


def is_minus(value: Value) -> bool:
    """Return True for what lies wholly on the far side of nought.

    >>> is_minus(Value(nominal=-5.0)), is_minus(Value(low=-5.0, high=5.0))
    (True, False)
    """
    if value.low is not None and value.high is not None:
        return value.high <= 0.0
    sizes = value.options or (value.nominal,)
    return max(sizes) <= 0.0 and min(sizes) < 0.0
