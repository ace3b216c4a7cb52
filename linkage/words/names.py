"""What people call the parts, points and numbers of a design."""

from linkage.design.records import Design, Part, Pedal
from linkage.words.speech import tidy

#: The last word of a value's path, where a plainer one says it.
_WORDS = {
    "x": "fore and aft",
    "z": "up",
    "along": "along its line",
    "free_play": "rod gap",
    "seat": "rod end",
}


def part_name(pedal: Pedal, part: Part) -> str:
    """Return what a part is called: its own name, else its kind, counted if it must be.

    A lever with something behind it is a crank.
    """
    if part.name:
        return tidy(part.name, 18)
    if part.branch:
        return f"{part.branch} {part.KIND}"
    kinds = [_kind(each) for each in pedal.train]
    kind = _kind(part)
    if kinds.count(kind) <= 1:
        return kind
    return f"{kind} {kinds[: part.number].count(kind)}"


def _kind(part: Part) -> str:
    if part.KIND == "balance_bar":
        return "bar"
    return "crank" if part.KIND == "lever" and not part.ends else part.KIND


def value_name(design: Design, path: str) -> str:
    """Return what a number is called: "pivot, back", "cylinder face, up".

    Parameters
    ----------
    design : Design
    path : str
        Of one of its values.
    """
    head, _, rest = path.partition(".")
    if head in design.pedals:
        return _own(design.pedals[head], rest)
    if path.startswith("footwell.fixed."):
        number, _, rest = path.removeprefix("footwell.fixed.").partition(".")
        thing = design.footwell.fixed[int(number) - 1]
        return f"{tidy(thing.name, 30)}, {_plain(rest.split('.'))}"
    return _plain(rest.split(".") if head == "point" else path.split("."))


def _own(pedal: Pedal, path: str) -> str:
    words = path.split(".")
    if words[0] != "train":
        return _plain(words)
    part = pedal.part_of(path)
    kept = path.removeprefix(f"{part.label}.").split(".")
    rest = [word for word in kept if word != "cable"]
    name = part_name(pedal, part)
    if len(rest) == 1:
        return f"{name}, {_said(rest[0])}"
    return f"{name} {_plain(rest)}"


def _plain(words: list[str]) -> str:
    words = [word for word in words if word != "holes"]
    if words[0] == "clevis":
        words = ["hole", *words[1:]]
    return ", ".join(_said(word) for word in words)


def _said(word: str) -> str:
    return _WORDS.get(word, word.replace("_", " "))


def point_name(pedal: Pedal, key: str) -> str:
    """Return what a point is called: "hole", "cylinder face", "crank input".

    Parameters
    ----------
    pedal : Pedal
    key : str
        Within the pedal: ``clevis``, ``holes.lower``, ``train.1.face``.
    """
    words = key.split(".")
    if words[0] == "train":
        return f"{part_name(pedal, pedal.part_of(key))} {_said(words[-1])}"
    if words[0] == "holes":
        return f'hole "{tidy(words[1], 24)}"'
    return {"clevis": "hole", "pad": "pad, face"}.get(key, key)
