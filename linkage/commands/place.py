"""``footwell place``: fill in what is free so that every target holds."""

import sys
import time
from typing import TYPE_CHECKING

import click

from linkage.commands.frame import (
    DONE,
    DONE_BUT,
    check_endings,
    check_room,
    command,
    file_argument,
    force_option,
    json_option,
    output,
    output_option,
    pedal_option,
    pedals,
    put,
    read,
)
from linkage.faults import DesignError, Fault

if TYPE_CHECKING:
    from linkage.design.records import Design
    from linkage.placing.place import Progress
    from linkage.placing.records import Placement

FORMS = (".toml",)
#: Seconds after which a bar is worth showing.
PATIENCE = 1.0


@click.command()
@file_argument
@pedal_option
@click.option(
    "--mark", metavar="STEP", help='Round lengths to this step, such as "0.5 mm".'
)
@click.option("--answer", type=int, default=1, metavar="N", help="Write answer N.")
@click.option("--seed", type=int, default=0, metavar="N", help="Start elsewhere.")
@json_option
@output_option(FORMS)
@force_option
@command
def place(
    file: str,
    pedal: str | None,
    mark: str | None,
    answer: int,
    seed: int,
    as_json: bool,
    outputs: tuple[str, ...],
    force: bool,
) -> int:
    """Place what FILE leaves free so that every target holds.

    Tells each family of answers, what is still free, or which targets fight. Nothing is
    written unless -o asks for it; exit code 1 where nothing was placed.
    """
    check_endings(outputs, FORMS)
    _check_numbers(file, answer, seed)
    design = read(file)
    step = _step(design, mark)
    pedals(design, pedal)
    check_room(outputs, force=force)
    from linkage.placing.question import asking

    asked = asking(design)
    names: list[str | None] = [pedal]
    if pedal is None and not as_json and len(asked) > 1:
        names = [group.pedals[0] for group in asked]
    told: list[Placement] = []
    current = design
    for name in names:
        with _Bar() as tell:
            found = _placed(current, name, step, seed, tell)
        told.append(found)
        if found.status == "placed":
            _check_answer(file, answer, found)
            current = _next(found, answer)
    _say(told, answer, as_json=as_json)
    if not all(each.status == "placed" for each in told):
        return DONE_BUT
    if outputs:
        data = current.text.encode()
        put([output(path, data) for path in outputs], force=force)
    return DONE


def _placed(
    design: "Design",
    pedal: str | None,
    mark: float | None,
    seed: int,
    tell: "Progress",
) -> "Placement":
    from linkage.placing.place import place as find

    return find(design, pedal=pedal, seed=seed, mark=mark, progress=tell)


def _next(found: "Placement", answer: int) -> "Design":
    """Return the design as this answer would be written."""
    from linkage.loading import load_text

    return load_text(found.answers[answer - 1].text, found.design.file)


def _say(told: "list[Placement]", answer: int, *, as_json: bool) -> None:
    if as_json:
        from export.table import json_text
        from linkage.placing.document import placement_json

        click.echo(json_text(placement_json(told[0])), nl=False)
        return
    from linkage.words.place import placement_text

    texts = [placement_text(each, answer=answer) for each in told]
    click.echo("\n".join(texts), nl=False)


def _step(design: "Design", mark: str | None) -> float | None:
    """Read ``--mark``: a length, in mm; a bare number is in the units of the file."""
    if mark is None:
        return None
    from linkage.arguments import MOST_STEP
    from linkage.design.grammar import read_number
    from linkage.design.terms import Misread
    from linkage.units import Measure, say

    try:
        value = read_number(mark, Measure.LENGTH, design.units)
    except Misread as error:
        raise _no_step(design, f'"{mark}" is no step. {error.wrong}') from error
    if value.kind != "fixed" or value.give is not None:
        raise _no_step(design, f'"{mark}" is no single step.')
    if not 0.0 < value.nominal <= MOST_STEP:
        said, most = (say(x, design.units, 3) for x in (value.nominal, MOST_STEP))
        wrong = f'"{mark}" is {said}, and a step is more than 0, up to {most}.'
        raise _no_step(design, wrong)
    return value.nominal


def _no_step(design: "Design", wrong: str) -> DesignError:
    usual = {"mm": "0.5 mm", "in": "1/16 in"}[design.units]
    right = f'Write --mark "{usual}", say.'
    return DesignError(
        [Fault(file=design.file, key="--mark", wrong=wrong, right=right)]
    )


def _check_numbers(file: str, answer: int, seed: int) -> None:
    faults = []
    if answer < 1:
        wrong, right = f"there is no answer {answer}.", "Answers count from 1."
        faults.append(Fault(file=file, key="--answer", wrong=wrong, right=right))
    if seed < 0:
        wrong, right = f"{seed} is no seed.", "Write 0 or more."
        faults.append(Fault(file=file, key="--seed", wrong=wrong, right=right))
    if faults:
        raise DesignError(faults)


def _check_answer(file: str, answer: int, found: "Placement") -> None:
    count = len(found.answers)
    if answer > count:
        wrong = f"there is no answer {answer}."
        right = f"There {'is 1' if count == 1 else f'are {count}'}."
        raise DesignError([Fault(file=file, key="--answer", wrong=wrong, right=right)])


class _Bar:
    """A bar on a terminal, once the work has taken longer than a moment."""

    def __enter__(self) -> "Progress":
        self._start = time.monotonic()
        self._shown = False
        return self._tell

    def __exit__(self, *_: object) -> None:
        if self._shown:
            click.echo("\r" + " " * 40 + "\r", err=True, nl=False)

    def _tell(self, share: float) -> None:
        if time.monotonic() - self._start < PATIENCE or not sys.stderr.isatty():
            return
        self._shown = True
        done = round(20.0 * min(max(share, 0.0), 1.0))
        bar = "#" * done + "." * (20 - done)
        click.echo(f"\rplacing [{bar}] {share:4.0%}", err=True, nl=False)
