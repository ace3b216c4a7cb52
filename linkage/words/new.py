"""What ``footwell new`` says once the starting file is written."""

from linkage.templates import Template

_NUMBERS = (
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
)

#: A guess, as an example.
_GUESS = {"mm": "11", "in": "7/16"}


def new_text(template: Template, file: str, *, asked: bool = False) -> str:
    """Return what was written, what to measure for it, and what to type next.

    Parameters
    ----------
    template : Template
    file : str
        As the user named it.
    asked : bool
        The numbers were asked for and are in the file.
    """
    lines = [f"{file} is {template.says}."]
    if asked:
        lines[0] += " Your numbers are in it."
    else:
        count = len(template.asks)
        lines[0] += " The car in it is made up."
        lines += [
            "",
            f"To make it yours, change {_NUMBERS[count]} numbers in this order. The file "
            "has the same marks.",
            *_rows(template),
            f'Not to hand? Write "about {_GUESS[template.units]}". All the rest can wait.',
        ]
    lines += [
        "",
        f"Next   footwell show {file}     reads the numbers back as tape lengths",
        f"       footwell sweep {file}    the pedal through its arc",
    ]
    return "\n".join(lines) + "\n"


def _rows(template: Template) -> list[str]:
    wide = max(len(ask.label) for ask in template.asks)
    return [
        f"  ({n}) {ask.label:<{wide}}   {ask.hint}"
        for n, ask in enumerate(template.asks, 1)
    ]
