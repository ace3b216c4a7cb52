"""The forms of a point: which keys each has, and what to say of one that has others."""

import re

from linkage.design.nearest import nearest as nearest_of

#: The axis and the sign that each word gives to a number without one.
WORDS = {
    "ahead": ("x", 1.0),
    "back": ("x", -1.0),
    "up": ("z", 1.0),
    "down": ("z", -1.0),
}
SIDES = ("above", "below", "ahead", "back")
FORMS = {
    "string": ("line", "along", *WORDS),
    "side": ("from", "reach", "side"),
    "reach": ("from", "reach", "angle", "off"),
    "words": (*WORDS, "from"),
}
EXAMPLES = {
    "string": '{ line = ["pivot", "pad"], along = 56.2, ahead = 7.8 }',
    "side": '{ from = "own pivot", reach = 46.5, side = "below" }',
    "reach": '{ from = "pivot", reach = 57, angle = "down, 9 deg back" }',
    "words": "{ back = 118, up = 546 }",
}
EXAMPLE = "Write [120, 545], { back = 118, up = 546 } or the name of a point."

#: Other words for the ways of a point.
MEANT = {
    "forward": "ahead",
    "forwards": "ahead",
    "front": "ahead",
    "rear": "back",
    "behind": "back",
    "height": "up",
    "high": "up",
    "above": "up",
    "below": "down",
}

#: A place of each point of a pedal: in brackets, and in words.
_PLACES = {
    "pivot": ("[120, 545]", "{ back = 118, up = 546 }"),
    "pad": ("[35, 255]", "{ back = 245, up = 262 }"),
    "clevis": ("[106, 484.5]", "{ back = 132, up = 485 }"),
}
_IN_WORDS = re.compile(rf"[{{,]\s*(?:{'|'.join(WORDS)})\s*=")
_IN_BRACKETS = re.compile(r"=\s*\[\s*[-+]?\d")


def point_example(key: str, text: str) -> str:
    """Return how a point may be written, in the style of the file it is missing in."""
    in_words = _IN_WORDS.search(text) and not _IN_BRACKETS.search(text)
    return f"{key} = {_PLACES[key][bool(in_words)]}"


def form_of(keys: list[str]) -> str:
    """Return the form that the keys of a point belong to."""
    if "line" in keys or "along" in keys:
        return "string"
    if "side" in keys:
        return "side"
    if {"reach", "angle", "off"} & set(keys):
        return "reach"
    return "words"


def strange(key: str, form: str) -> tuple[str, str]:
    """Return the sentence for a key that a form does not have."""
    if key.lower() in ("left", "right"):
        wrong = f"{key} is across the car, and a point lies in the side view."
        return wrong, "Write across = { pad = -20 } in its pedal: plus is to the right."
    meant = MEANT.get(key.lower())
    near = meant if meant in FORMS[form] else nearest_of(key, FORMS[form])
    nearest = f"Nearest: {near}. " if near else ""
    elsewhere = any(key in keys for keys in FORMS.values())
    why = "is not known in a point"
    if elsewhere:
        why = "does not go with the other keys of this point"
    return f"{key[:40]} {why}.", f"{nearest}Write {EXAMPLES[form]}."
