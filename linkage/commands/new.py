"""``footwell new``: a starting file that runs as it is, and the card to measure for it."""

import difflib
from pathlib import Path
from typing import TYPE_CHECKING

import click

from linkage.commands.frame import (
    DONE,
    DONE_BUT,
    check_endings,
    command,
    force_option,
    json_option,
    output,
    put,
)
from linkage.faults import DesignError, Fault

if TYPE_CHECKING:
    from export.files import Output
    from linkage.design.records import Design
    from linkage.templates import Template

CARDS = (".svg", ".pdf", ".png")

#: How a number is typed where it is asked for.
_TYPED = {
    "mm": "mm or with its unit (4 5/8 in); about 11",
    "in": "inches (4 5/8) or with its unit (118 mm); about 7/16",
}

#: Lengths that nobody needs to type and a tape can check.
CHECKS = ("pivot to pad", "hole to pad")


@click.command()
@click.argument("kind", metavar="KIND")
@click.option("-o", "--output", "target", metavar="FILE", help="Write it here (.toml).")
@click.option("--ask", is_flag=True, help="Ask for the numbers, in measuring order.")
@click.option("--card", metavar="CARD", help="A sheet of blanks: .svg, .pdf or .png.")
@click.option(
    "--paper",
    type=click.Choice(["a4", "letter"]),
    help="The paper of the card; left out: letter for inches, else A4.",
)
@click.option(
    "--units",
    type=click.Choice(["mm", "in"]),
    default="mm",
    help="What a bare length in the file means.",
)
@json_option
@force_option
@command
def new(
    kind: str,
    target: str | None,
    ask: bool,
    card: str | None,
    paper: str | None,
    units: str,
    as_json: bool,
    force: bool,
) -> int:
    """Write a starting file: hanging-brake, floor-brake, clutch or throttle.

    It runs as it is. The numbers to measure are marked in it in measuring order;
    --ask asks for them, --card draws them as blanks to take to the car.
    """
    from msgspec.structs import replace

    template = replace(_template(kind), units=units)
    _check(template, target, card, ask=ask)
    if ask and as_json:
        wrong, right = "asks a person, and --json tells a program.", "Leave one out."
        raise DesignError([Fault(key="new --ask", wrong=wrong, right=right)])
    for path in [each for each in (target, card) if each and not force]:
        _refuse_taken(path)
    design = _design(template, target, ask=ask)
    outputs = [_card(template, card, paper)] if card else []
    if target:
        outputs.append(_file(target, design))
    put(outputs, force=force)
    if as_json:
        from export.table import json_text

        written = [str(each.path) for each in outputs]
        click.echo(json_text({"kind": template.kind, "written": written}), nl=False)
        return DONE
    if not target:
        return DONE
    from linkage.words.new import new_text

    click.echo(new_text(template, target, asked=ask), nl=False)
    return _stands(design) if ask else DONE


def _template(kind: str) -> "Template":
    """Return the starting file of a kind, or say which there are."""
    from linkage.templates import TEMPLATES

    if kind in TEMPLATES:
        return TEMPLATES[kind]
    from linkage.words.speech import tidy

    near = difflib.get_close_matches(kind[:40], TEMPLATES, n=1, cutoff=0.4)
    wrong = f'"{tidy(kind, 40)}" is no starting file.'
    nearest = f"Nearest: {near[0]}. " if near else ""
    right = f"{nearest}There are: {', '.join(TEMPLATES)}."
    raise DesignError([Fault(key="new", wrong=wrong, right=right)])


def _check(
    template: "Template", target: str | None, card: str | None, *, ask: bool
) -> None:
    """Refuse a call that says not where, or not in which form."""
    if target is None and (ask or card is None):
        wrong = "nothing says where to write it."
        own = template.kind.rpartition("-")[2]
        right = f"Write footwell new {template.kind} -o {own}.toml, say."
        raise DesignError([Fault(key="new", wrong=wrong, right=right)])
    check_endings([target] if target else [], (".toml",))
    check_endings([card] if card else [], CARDS, "--card")


def _refuse_taken(path: str) -> None:
    """Refuse before the first question what could not be written after the last."""
    from export.files import TakenError

    if Path(path).is_file() and Path(path).suffix.lower() == ".toml":
        fault = f"{path}: exists already; choose another name, or say --force"
        raise TakenError([fault])
    folder = Path(path).parent
    if not folder.is_dir():
        wrong = f"there is no folder {folder}."
        raise DesignError([Fault(file=path, wrong=wrong, right="Make it first.")])


def _design(template: "Template", target: str | None, *, ask: bool) -> "Design":
    from linkage.templates.answers import answered

    answers = _asked(template) if ask else {}
    return answered(template, answers, target or "")


def _asked(template: "Template") -> dict[str, str]:
    """Ask for every number; an empty answer keeps what stands in the file."""
    click.echo(
        f"{template.says[0].upper()}{template.says[1:]}. Pedal on its rest stop.\n"
        f"Type each number in {_TYPED[template.units]} for a guess;\n"
        '"3 back" where it says ahead. Enter alone keeps what stands there.\n'
    )
    answers: dict[str, str] = {}
    for number in range(1, len(template.asks) + 1):
        try:
            _ask(template, number, answers)
        except click.Abort:
            click.echo()
            wrong = f"the answers stop before ({number}). Nothing was written."
            right = "Call it again, and answer them all: Enter alone will do."
            fault = Fault(key="new --ask", wrong=wrong, right=right)
            raise DesignError([fault]) from None
    return answers


def _ask(template: "Template", number: int, answers: dict[str, str]) -> None:
    """Ask for one number until its answer can be used."""
    from linkage.templates.answers import default, refused

    ask = template.asks[number - 1]
    click.echo(f"({number}) {ask.label}: {ask.hint}")
    stands = default(template, ask.path)
    doubted = ""
    while True:
        said = click.prompt(
            f"    {stands}, or yours", default="", show_default=False, type=str
        ).strip()
        if not said:
            return
        if _is_turned(said, stands) and said != doubted:
            doubted = said
            click.echo(
                f"    {said} lies on the other side of the mark than {stands}: type it "
                "again if that is so, or without its minus."
            )
            continue
        faults = refused(template, ask.path, said)
        if not faults:
            answers[ask.path] = said
            return
        for fault in faults:
            click.echo(f"    {fault.wrong} {fault.right}".rstrip())


def _is_turned(said: str, stands: str) -> bool:
    """Return True for a minus where the number that stands there has none."""
    return said.startswith("-") and not stands.startswith("-")


def _file(target: str, design: "Design") -> "Output":
    from export.files import Output

    return Output(path=Path(target), data=design.text.encode())


def _card(template: "Template", card: str, paper: str | None) -> "Output":
    from linkage.sheets.card import card_page
    from linkage.sheets.card_scene import card_blanks, card_scene
    from linkage.sheets.files import drawing_file
    from linkage.sheets.pattern import usual_paper
    from linkage.templates.answers import answered

    paper = paper or usual_paper(template.units)
    scene = card_scene(template, answered(template, {}))
    page = card_page(scene, card_blanks(template), paper=paper, checks=CHECKS)
    return output(card, drawing_file(page, Path(card).suffix.lower()), scene.stamp)


def _stands(design: "Design") -> int:
    """Say what does not work with the numbers typed; the file is there to mend."""
    from linkage.sweeping import standing

    try:
        for name in design.pedals:
            standing(design, name)
    except DesignError as error:
        click.echo("As typed it does not work yet:", err=True)
        for fault in error.faults:
            click.echo(str(fault), err=True)
        return DONE_BUT
    return DONE
