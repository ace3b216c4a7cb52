"""What all commands share: their options, how faults are told, how outputs are put.

A command's body returns its exit code and raises what it cannot mend; the one place
that turns errors into lines and codes is `command` here.
"""

import functools
import os
import sys
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click
from msgspec.structs import replace

from linkage.faults import DesignError, Fault, FootwellError

if TYPE_CHECKING:
    from export.files import Output
    from linkage.design.records import Design
    from linkage.sheets.stamp import Stamp

DONE, DONE_BUT, UNUSABLE, OWN_FAULT = 0, 1, 2, 3

Body = TypeVar("Body", bound=Callable[..., Any])

#: What cannot be read is told by the reading, with its name.
file_argument = click.argument("file", type=click.Path(readable=False), metavar="FILE")
pedal_option = click.option("--pedal", metavar="NAME", help="Only this pedal.")
json_option = click.option(
    "--json", "as_json", is_flag=True, help="One JSON document on standard output."
)
force_option = click.option("--force", is_flag=True, help="Write over what is there.")


def output_option(forms: Sequence[str]) -> Callable[[Body], Body]:
    """Return the option ``-o``; its ending picks the form, it may stand often."""
    endings = " ".join(forms)
    return click.option(
        "-o",
        "--output",
        "outputs",
        multiple=True,
        metavar="OUT",
        help=f"Write this file; its ending picks the form: {endings}.",
    )


def of_file(body: Body) -> Body:
    """Give a command FILE and ``--pedal``."""
    return file_argument(pedal_option(body))


def answering(forms: Sequence[str]) -> Callable[[Callable[..., int]], Any]:
    """Give a command's body ``--json``, ``-o`` and ``--force``, and run it: `command`."""

    def dress(body: Callable[..., int]) -> Any:
        return json_option(output_option(forms)(force_option(command(body))))

    return dress


def command(body: Callable[..., int]) -> Callable[..., None]:
    """Run a command's body: tell its errors, end with its exit code."""

    @functools.wraps(body)
    def run(*args: Any, **options: Any) -> None:
        as_json = bool(options.get("as_json"))
        try:
            code = body(*args, **options)
        except DesignError as error:
            code = tell(error.faults, as_json=as_json)
        except (FootwellError, OSError) as error:
            code = _stop(error, as_json=as_json)
        except (click.exceptions.Exit, click.ClickException, click.Abort):
            raise
        except Exception as error:  # noqa: BLE001 - the last net: no traceback ever
            code = _own_fault(error)
        sys.exit(code)

    return run


def tell(faults: Iterable[Fault], *, as_json: bool) -> int:
    """Tell faults, a line each, and with ``as_json`` as a document; return the code.

    A fault whose line is not known (of an option, or of a whole file) has null there.
    """
    faults = tuple(faults)
    for fault in faults:
        click.echo(str(fault), err=True)
    if as_json:
        import json

        rows = [
            {
                "file": fault.file,
                "line": fault.line or None,
                "key": fault.key,
                "wrong": fault.wrong,
                "right": fault.right,
            }
            for fault in faults
        ]
        click.echo(json.dumps({"faults": rows}, ensure_ascii=False))
    return UNUSABLE


def _stop(error: Exception, *, as_json: bool) -> int:
    if isinstance(error, BrokenPipeError):
        # Whoever read us has gone; nothing is left to say, and to nobody.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    name = str(getattr(error, "filename", None) or "")
    if isinstance(error, OSError) and error.strerror and name:
        wrong, right = f"{error.strerror}.", "Name another file or folder."
        return tell([Fault(file=name, wrong=wrong, right=right)], as_json=as_json)
    return tell(map(_halved, str(error).splitlines()), as_json=as_json)


def _halved(line: str) -> Fault:
    """Return a writer's line, "arm.dxf: is a folder; name a file", as a fault."""
    wrong, _, right = line.partition("; ")
    file, colon, what = wrong.rpartition(": ")
    right = right or "name another file"
    return Fault(
        file=file if colon else "",
        wrong=f"{what}.",
        right=f"{right[:1].upper()}{right[1:]}.",
    )


def _own_fault(error: Exception) -> int:
    kind = type(error).__name__
    if os.environ.get("FOOTWELL_TRACE"):
        import traceback

        traceback.print_exception(error)
    click.echo(
        f"This is the program's own fault, not yours: {kind}: {error}. Nothing was "
        "written. Please tell its makers, with the file.",
        err=True,
    )
    return OWN_FAULT


def read(file: str) -> "Design":
    """Read a design file, judge it, and say its cautions.

    Raises
    ------
    DesignError
        As `linkage.loading.load` and `linkage.words.sound.check`.
    """
    from linkage.loading import load
    from linkage.words.cautions import cautions
    from linkage.words.sound import check

    design = load(file)
    check(design)
    design = replace(design, cautions=(*design.cautions, *cautions(design)))
    for caution in design.cautions:
        click.echo(f"caution: {caution}", err=True)
    return design


def pedals(design: "Design", pedal: str | None) -> tuple[str, ...]:
    """Return the pedals asked for: one by name, or all.

    Raises
    ------
    DesignError
        For a name that the design has not.
    """
    names = tuple(design.pedals)
    if pedal is None:
        return names
    if pedal not in names:
        raise DesignError(
            [
                Fault(
                    file=design.file,
                    key="--pedal",
                    wrong=f'there is no pedal "{pedal}".',
                    right=f"This file has: {', '.join(names)}.",
                )
            ]
        )
    return (pedal,)


def one_pedal(design: "Design", pedal: str | None, what: str) -> str:
    """Return the one pedal that ``what`` is about.

    Raises
    ------
    DesignError
        Where the design has several and none is named.
    """
    found = pedals(design, pedal)
    if len(found) == 1:
        return found[0]
    raise DesignError(
        [
            Fault(
                file=design.file,
                key="--pedal",
                wrong=f"{what} is about one pedal, and this file has several.",
                right=f"Say which: --pedal {' or --pedal '.join(found)}.",
            )
        ]
    )


def check_endings(
    outputs: Sequence[str], forms: Sequence[str], key: str = "-o"
) -> None:
    """Refuse an output whose ending names no form; ``key`` is the option it is of.

    Raises
    ------
    DesignError
    """
    faults = [
        Fault(
            file=output,
            key=key,
            wrong=(
                f'the ending "{Path(output).suffix}" names no form that this '
                "command writes."
            ),
            right=f"It writes {', '.join(forms)}.",
        )
        for output in outputs
        if Path(output).suffix.lower() not in forms
    ]
    faults += [
        Fault(
            file=output,
            key=key,
            wrong="the same file is asked for twice.",
            right="Give each its own name.",
        )
        for index, output in enumerate(outputs)
        if output in outputs[:index]
    ]
    if faults:
        raise DesignError(faults)


def output(path: str, data: bytes, stamp: "Stamp | None" = None) -> "Output":
    """Return bytes and where they go.

    With a stamp the file may replace one that carries the same design's mark: a
    picture or a table. What is cut or marked out by, and the design itself, never may.
    """
    from export.files import Output

    mark = None if stamp is None else stamp.owner.encode()
    return Output(path=Path(path), data=data, mark=mark)


def check_room(
    paths: Sequence[str], stamp: "Stamp | None" = None, *, force: bool
) -> None:
    """Refuse outputs that cannot be put, before anything is told or worked out.

    Raises
    ------
    OutputError
    """
    from export.files import check_room as look

    look([output(path, b"", stamp) for path in paths], force=force)


def check_marked(design: "Design", outputs: Sequence[str], *, force: bool) -> None:
    """Refuse pictures and tables of a design that cannot be put, as `check_room`."""
    if outputs:
        from linkage.sheets.stamp import stamp_of

        check_room(outputs, stamp_of(design), force=force)


def put_marked(
    design: "Design",
    outputs: Sequence[str],
    file_of: Callable[[str], bytes],
    *,
    force: bool,
) -> None:
    """Write pictures and tables of a design, which carry its mark.

    Parameters
    ----------
    file_of : callable
        An ending -> the bytes of such a file.
    """
    if outputs:
        from linkage.sheets.stamp import stamp_of

        stamp = stamp_of(design)
        files = ((path, file_of(Path(path).suffix)) for path in outputs)
        put([output(path, data, stamp) for path, data in files], force=force)


def put(outputs: Sequence["Output"], *, force: bool) -> None:
    """Write outputs, all or none, and say so."""
    from export.files import put_all

    put_all(outputs, force=force)
    for each in outputs:
        click.echo(f"Wrote {each.path}.", err=True)
