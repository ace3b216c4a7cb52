"""The command line: parse, call, print. A file a command, imported when it is called.

Exit codes: 0 done; 1 done, but (not placed, a limit met, a check that fails); 2 the
input cannot be used; 3 the program's own fault.
"""

import sys
from importlib import import_module
from typing import Any

import click

from linkage.commands.misuse import telling
from linkage.last_word import PROGRAM

#: Every command by name, in the order in which a builder meets them, with the module
#: that holds it (a command of the same name) and one line for ``--help``.
COMMANDS = {
    "new": "A good starting file that runs as it is; --ask, --card.",
    "show": "Read a file back in words, with tape lengths nobody typed.",
    "place": "Fill in what is free so that every target holds.",
    "sweep": "The pedal through its arc: table, CSV, JSON, picture.",
    "effort": "What the foot feels, and every force of the train.",
    "budget": "Where the brake pedal's travel goes, and what the car does.",
    "failures": "The brake on its worst days: where the pad ends, what is left.",
    "ladder": "Every stock bore with every hole: foot, pad, stroke, what is left.",
    "check": "Every finding: ok, caution, fail, not checked; with its source.",
    "cut": "The arm's profile as DXF, after its cut check.",
    "pattern": "The arm on full-size paper.",
    "open": "The design in a browser: drag a point and see it move.",
}


class Commands(click.Group):
    """Imports a command's module only when that command is called."""

    def make_context(
        self,
        info_name: str | None,
        args: list[str],
        parent: click.Context | None = None,
        **extra: Any,
    ) -> click.Context:
        """Parse what stands before a command's name; keep what was typed."""
        typed = tuple(args)
        with telling(typed):
            ctx = super().make_context(info_name, args, parent, **extra)
        ctx.obj = typed
        return ctx

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command that was named."""
        with telling(ctx.obj):
            return super().invoke(ctx)

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - click's
        """Return the names in order."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        """Return a command, or None for a name that is not known."""
        if cmd_name not in COMMANDS:
            return None
        command = getattr(import_module(f"linkage.commands.{cmd_name}"), cmd_name)
        return command if isinstance(command, click.Command) else None

    def format_commands(
        self,
        ctx: click.Context,  # noqa: ARG002
        formatter: click.HelpFormatter,
    ) -> None:
        """List the commands without importing them."""
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


def _say_version(ctx: click.Context, _: click.Parameter, wanted: bool) -> None:
    if not wanted:
        return
    from importlib.metadata import PackageNotFoundError, version

    try:
        said = f"footwell {version('footwell')}"
    except PackageNotFoundError:
        said = "footwell, not installed: its version stands in pyproject.toml"
    click.echo(said)
    ctx.exit()


@click.group(cls=Commands, epilog=PROGRAM)
@click.option(
    "--version",
    is_flag=True,
    is_eager=True,
    expose_value=False,
    callback=_say_version,
    help="Show the version and exit.",
)
def footwell() -> None:
    """Fit hand-made brake, clutch and throttle pedals to a one-off car.

    Write down what you measured and what you want; get the pedal placed, swept
    through its arc, and its arm as a cut file and a paper pattern.
    """


def main() -> None:
    """Run the command line; the console command ``footwell``."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            # A terminal that cannot show a sign must not end the work.
            reconfigure(errors="replace")
    footwell(prog_name="footwell")
