"""One sentence for each slip in a line: a heading, or a key that gets no value.

Texts in, sentences out; where they stand is the business of `linkage.design.lines`.
"""

import re
import unicodedata

from linkage.design.slips import Sentence, short, without_remark

_NAME = re.compile(r"[A-Za-z0-9_.-]+")


def no_equals(raw: str) -> Sentence:
    """Return what is wrong with a line that is no heading and gives no key a value."""
    raw = without_remark(raw)
    if raw[0] in ";/%!-*" or raw.startswith("rem "):
        return "a remark starts with #.", f"Write # {raw.lstrip(';/%!-* ')[:40]}"
    colon = re.match(r"([A-Za-z0-9_.-]+)\s*:\s*=?\s*(.*)", raw)
    if colon:
        return (
            "a colon stands where an equals sign belongs.",
            f"Write {colon[1]} = {short(colon[2])}",
        )
    key, equals, rest = raw.partition("=")
    if equals and len(key.split()) > 1:
        return (
            f"{short(key.strip())} is more than one word.",
            f"A key is one word: {'_'.join(key.split())} = {short(rest.strip())}",
        )
    if equals:
        return (
            f"{short(key.strip()) or 'nothing'} is no name for a key.",
            "A key has letters, digits, _ and - only.",
        )
    if re.fullmatch(r"pedal(?:\.[A-Za-z0-9_-]+)+", raw):
        return "a heading stands in brackets.", f"Write [{raw}]."
    words = raw.split(maxsplit=1)
    if len(words) == 2 and _NAME.fullmatch(words[0]):
        return (
            "an equals sign is missing.",
            f"Write {words[0]} = {short(words[1])}, or # before a remark.",
        )
    return (
        f"{short(raw)} is neither a heading nor a key with its value.",
        "Write # before a remark, and close what was opened above.",
    )


def heading_words(raw: str) -> list[str]:
    """Return the words that a broken heading was most likely meant to have.

    >>> heading_words("[pedal.the bräke]"), heading_words("[[pedal brake train]")
    (['pedal', 'the_brake'], ['pedal', 'brake', 'train'])
    """
    raw = raw.partition("#")[0]
    raw = "".join(c for c in unicodedata.normalize("NFKD", raw) if c.isascii())
    if "." in raw:
        raw = re.sub(r"(?<=[\w-]) +(?=[\w-])", "_", raw)
    return re.findall(r"[A-Za-z0-9_-]+", raw)


def heading(raw: str) -> Sentence:
    """Return what is wrong with a line that starts with a bracket."""
    words = ".".join(heading_words(raw))
    several = raw.startswith("[[") or "]]" in raw
    right = f"[[{words}]]" if several else f"[{words}]"
    if not words:
        return "this heading is empty.", "Write [pedal.brake], say."
    wrong = f"{short(raw)} is not a heading."
    if not raw.isascii():
        return wrong, f"A name has letters from a to z, digits, _ and - only: {right}."
    return wrong, f"Write {short(right)} on a line of its own."
