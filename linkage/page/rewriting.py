"""What a change of words, wishes and locks rewrites in the text: patches of it.

None stands for a change that the text has no place for.
"""

import tomllib
from collections.abc import Mapping, Sequence
from typing import Any

from linkage.design.signs import rename
from linkage.design.spans import At
from linkage.design.spelling import bare, content, in_words, put, quoted, renumber
from linkage.design.splice import Patch
from linkage.design.statements import Statements
from linkage.design.values import Value
from linkage.design.ways import OPPOSITE, quarter, word_of
from linkage.design.ways import WORDS as DIRECTIONS
from linkage.page.document import Document
from linkage.page.grid import Move

#: Words of a path that a counted row may stand behind.
_ROWS = ("train", "front", "rear", "floor", "bulkhead")


def patches(document: Document, change: Mapping[str, Any]) -> list[Patch] | None:
    """Return what a change other than a move rewrites.

    Parameters
    ----------
    document : Document
        That can be read.
    change : mapping
        ``value`` and ``text``, ``target``, ``lock`` or ``title``.
    """
    statements = Statements(document.text)
    if "title" in change:
        return _some(statements.set(("title",), quoted(change["title"])))
    if "lock" in change:
        return _lock(document, statements, change["lock"], on=change["on"])
    if "target" in change:
        return _target(statements, change)
    return _typed(document, statements, change["value"], change["text"].strip())


def _some(patch: Patch | None) -> list[Patch] | None:
    return None if patch is None else [patch]


# ------------------------------------------------------------------ typed words


def _typed(
    document: Document, statements: Statements, path: str, text: str
) -> list[Patch] | None:
    """Return what text typed in place of a value rewrites."""
    design = document.design
    value = None if design is None else design.values.get(path)
    chosen = None if design is None else design.choices.get(path)
    if value is not None and value.kind == "choice" and text in value.spelt:
        picked = value.spelt.index(text)
        return to_front(document.text, value.span, value.spelt, picked)
    if chosen is not None and text in chosen.names:
        picked = chosen.names.index(text)
        return to_front(document.text, chosen.span, chosen.names, picked)
    spot = value or chosen
    at = statements.find(spot.span) if spot else _place(statements, path)
    token = None if at is None else statements.token(at)
    if at is None or token is None:
        return None
    if _says(token, text):
        return []
    among = value is not None and value.kind != "choice" and in_words(token, value)
    if value is not None and among and not _has_word(text):
        return [put(document.text, value, text)]
    return _some(statements.set(at, _spelt(token, text, number=value is not None)))


def _has_word(text: str) -> bool:
    """Return True where typed text says a whole direction, not its number alone."""
    return any(word in text.lower() for word in ("ahead", *DIRECTIONS))


def _says(token: str, text: str) -> bool:
    """Return True where a token of the file already says just this."""
    return token == text or (token[:1] in ("'", '"') and content(token) == text)


def _spelt(token: str, text: str, *, number: bool) -> str:
    """Return what is written for typed text: as typed, quoted where it needs quotes."""
    if text[:1] in ("{", "[") and _is_toml(text):
        return text
    if number:
        return bare(text)
    return quoted(text) if token[:1] in ("'", '"') or not _is_toml(text) else text


def _is_toml(text: str) -> bool:
    """Return True for one value of TOML, on one line."""
    try:
        return "\n" not in text and list(tomllib.loads(f"v = {text}")) == ["v"]
    except tomllib.TOMLDecodeError:
        return False


def _place(statements: Statements, path: str) -> At | None:
    """Return where a path stands in the text: brake.train.1.axis, footwell.floor."""
    words = path.split(".")
    for head in ((), ("pedal",)):
        at: At = head
        for index, word in enumerate(words):
            counted = index and words[index - 1] in _ROWS
            if counted and word.isdecimal():
                inner = (*at, int(word) - 1)
                at = inner if inner in statements.spots else at
            else:
                at = (*at, word)
        if at[-1] in ("x", "z") and at not in statements.spots:
            at = (*at[:-1], "xz".index(str(at[-1])))
        if at in statements.spots:
            return at
    return None


# ------------------------------------------------------------------ choices


def to_front(
    text: str, span: tuple[int, int], spelt: Sequence[str], picked: int
) -> list[Patch]:
    """Return how the picked member of a choice comes first; the others keep their order.

    Where only the last member had a unit, each gets it: it would not hold any more.
    """
    statements = Statements(text)
    at = statements.find(span)
    if at is None or not picked:
        return []
    spots = [statements.spots[(*at, "one_of", i)] for i in range(len(spelt))]
    tokens = [text[spot.start : spot.end] for spot in spots]
    if [_said(token) for token in tokens] != list(spelt):
        tokens = [bare(each) for each in spelt]
    tokens.insert(0, tokens.pop(picked))
    return [
        Patch(spot.start, spot.end, token)
        for spot, token in zip(spots, tokens, strict=True)
    ]


def _said(token: str) -> str:
    return content(token) if token[:1] in ("'", '"') else token


# ------------------------------------------------------------------ spots and signs


def open_spot(text: str, value: Value, move: Move) -> Patch | None:
    """Return how a number is put where the file had only a word, or nothing at all."""
    statements = Statements(text)
    at = _place(statements, value.path)
    if at is not None:
        token = statements.token(at)
        return None if token is None else _turned(statements, at, token, move)
    *_, key = value.path.split(".")
    table = _place(statements, value.path.rpartition(".")[0])
    if table is None:
        return None
    if move.text.startswith("-"):
        key = OPPOSITE[key]
    return statements.set((*table, key), bare(move.text.removeprefix("-")))


def _turned(statements: Statements, at: At, token: str, move: Move) -> Patch | None:
    """Write a turn behind the plain word of a direction: "forward, 2 deg up"."""
    word = content(token).strip(" ,\t")
    turns = quarter(word) + (-1 if move.text.startswith("-") else 1)
    turn = move.text.removeprefix("-")
    return statements.set(at, quoted(f"{word}, {turn} deg {word_of(turns)}"))


def unsigned(text: str, value: Value, number: str) -> list[Patch]:
    """Return how a word takes its opposite where its number would turn negative.

    Words are there so that nobody needs a sign. A range keeps its word and its signs.
    """
    if value.kind != "fixed" or not number.startswith("-"):
        return []
    name = rename(text, value)
    spot = renumber(text, value, number.removeprefix("-"))
    return [name, spot] if name else []


# ------------------------------------------------------------------ locks


def _lock(
    document: Document, statements: Statements, name: str, *, on: bool
) -> list[Patch] | None:
    """Return how a point is put on the list of what is welded, or taken off it."""
    head, _, rest = name.partition(".")
    pedal = document.design and document.design.pedals.get(head)
    if not pedal:
        return None
    at: At = ("pedal", head, "locked")
    if on == (name in pedal.locked):
        return []
    if not on:
        return _unlock(statements, at, head, name)
    if statements.token(at) is None:
        return _some(statements.set(at, f"[{quoted(rest)}]"))
    return _some(statements.append_item(at, quoted(rest)))


def _unlock(
    statements: Statements, at: At, pedal: str, name: str
) -> list[Patch] | None:
    items = [place for place in statements.spots if place[:-1] == at]
    same = [
        place
        for place in items
        if _is_named(content(statements.token(place) or '""'), pedal, name)
    ]
    if not same:
        return None
    if len(same) == len(items):
        return _some(statements.drop(at))
    return _some(statements.drop(same[0]))


def _is_named(said: str, pedal: str, name: str) -> bool:
    """Return True where a name in a pedal's list means the canonical ``name``."""
    full = said if said.startswith(f"{pedal}.") else f"{pedal}.{said}"
    return full == name or full.replace(f"{pedal}.", f"{pedal}.holes.", 1) == name


# ------------------------------------------------------------------ targets


def _target(statements: Statements, change: Mapping[str, Any]) -> list[Patch] | None:
    """Return what a change of a pedal's wishes rewrites."""
    pedal, number = change["target"]
    rows: At = ("pedal", pedal, "target")
    if "add" in change:
        return _some(statements.append(rows, _pairs(change["add"])))
    at: At = (*rows, number - 1)
    if at not in statements.spots:
        return None
    if "remove" in change:
        return _some(statements.drop(at))
    found = []
    for key, text in change["set"].items():
        token = statements.token((*at, key))
        if text is None:
            patch = statements.drop((*at, key)) if token is not None else None
        elif token is not None and _says(token, text):
            continue
        else:
            patch = statements.set((*at, key), _wish(key, text))
        if patch is None and text is not None:
            return None
        found += [patch] if patch else []
    return found


def _pairs(said: Mapping[str, str]) -> dict[str, str]:
    return {key: _wish(key, text) for key, text in said.items()}


def _wish(key: str, text: str) -> str:
    """Return how one key of a wish is written."""
    text = text.strip()
    if key in ("between", "which") and _is_toml(text):
        return text
    return bare(text)
