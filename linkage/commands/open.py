"""``footwell open``: the design in a browser, to drag and see move."""

from pathlib import Path

import click

from linkage.commands.frame import DONE, command
from linkage.faults import DesignError, Fault

#: The example that is shown where no file is named.
FIRST = "hanging-brake"
#: Ports that anybody may listen on.
LEAST_PORT, MOST_PORT = 1024, 65535


@click.command()
@click.argument(
    "file", type=click.Path(readable=False), metavar="[FILE]", required=False
)
@click.option("--no-browser", is_flag=True, help="Print the address, open nothing.")
@click.option(
    "--port", type=int, metavar="N", help="Listen here; else where it is free."
)
@command
def open(file: str | None, no_browser: bool, port: int | None) -> int:  # noqa: A001 - a command is called as it is typed
    """Show FILE in a browser: drag its points and see the pedals move.

    Without FILE it starts on an example. The page is served to this machine alone, and
    nothing is fetched from anywhere. Ctrl-C ends it.
    """
    _check_port(port)
    text, name = _read(file)
    from linkage.page.launch import launch

    kept = launch(
        text,
        name,
        Path(file) if file else None,
        port=port or 0,
        browser=not no_browser,
        say=_say,
    )
    if kept:
        again = f"footwell open {file}" if file else "footwell open"
        click.echo(f"\nChanges that were not saved are kept: {again} offers them.")
    return DONE


def _say(address: str) -> None:
    click.echo(f"{address}  (Ctrl-C ends it)")


def _check_port(port: int | None) -> None:
    if port is not None and not LEAST_PORT <= port <= MOST_PORT:
        wrong = f"{port} is no port that can be used."
        right = f"Write {LEAST_PORT} to {MOST_PORT}, or leave it out."
        raise DesignError([Fault(key="--port", wrong=wrong, right=right)])


def _read(file: str | None) -> tuple[str, str]:
    """Return the text to start on, with its faults if it has some, and its name.

    Raises
    ------
    DesignError
        The file cannot be read as text.
    """
    if file is None:
        from linkage.templates import TEMPLATES

        return TEMPLATES[FIRST].text, f"{FIRST}.toml"
    from linkage.design.texts import text_of

    return text_of(Path(file)), file
