"""A call that the command line cannot use, told as any other fault: one line, exit 2.

The words of the parser are kept where they say what is wrong; what would be right is
said in the words of this program.
"""

import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager

import click

from linkage.faults import Fault

#: How the parser says that a command is not known.
_NO_COMMAND = re.compile(r"No such command ['\"](.+)['\"]\.")


class Misuse(click.ClickException):
    """A call that cannot be used; told in one line, with ``--json`` as a document."""

    exit_code = 2

    def __init__(self, fault: Fault, *, as_json: bool) -> None:
        super().__init__(str(fault))
        self.fault, self.as_json = fault, as_json

    def show(self, file: object = None) -> None:
        """Tell it."""
        from linkage.commands.frame import tell

        del file
        tell([self.fault], as_json=self.as_json)


@contextmanager
def telling(typed: Sequence[str]) -> Iterator[None]:
    """Turn the parser's errors into a `Misuse`; ``typed`` is what was typed."""
    try:
        yield
    except click.exceptions.NoArgsIsHelpError:
        raise
    except click.UsageError as error:
        raise Misuse(fault_of(error), as_json="--json" in typed) from error


def fault_of(error: click.UsageError) -> Fault:
    """Return what is wrong with a call, and what would be right."""
    command = "footwell" if error.ctx is None else error.ctx.command_path
    listed = f"{command} --help lists what there is."
    if isinstance(error, click.NoSuchOption):
        near = "".join(list(error.possibilities or ())[:1])
        return Fault(
            key=command,
            wrong=f"there is no option {error.option_name}.",
            right=f"Nearest: {near}. {listed}" if near else listed,
        )
    hint = getattr(error, "param_hint", None)
    param = getattr(error, "param", None)
    if hint is None and param is not None and error.ctx is not None:
        hint = param.get_error_hint(error.ctx)
    key = "".join(hint) if hint else command
    if isinstance(error, click.MissingParameter):
        return Fault(key=command, wrong=f"{_bare(key)} is missing.", right=listed)
    unknown = _NO_COMMAND.match(error.message)
    if unknown:
        right = f"{_nearest_command(unknown[1])}{listed}"
        return Fault(key=key, wrong=f"there is no command {unknown[1]}.", right=right)
    wrong = f"{error.message.rstrip('.')}."
    return Fault(key=_bare(key), wrong=wrong[:1].lower() + wrong[1:], right=listed)


def _nearest_command(word: str) -> str:
    from linkage.commands import COMMANDS
    from linkage.design.nearest import nearest

    near = nearest(word, COMMANDS)
    return f"Nearest: {near}. " if near else ""


def _bare(hint: str) -> str:
    """Return a parser's hint without its quotation marks."""
    return hint.replace("'", "")
