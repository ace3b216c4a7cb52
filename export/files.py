"""Bytes on disk, whole or not at all.

Every output of the program goes through here. The bytes are written beside the place
they are meant for, pushed to the disk, and only then given their name; a power cut or
a kill at any moment leaves the old file or the new one, never a part. What the bytes
mean is none of this module's business.
"""

import contextlib
import os
from collections.abc import Iterator, Sequence
from pathlib import Path

from msgspec import Struct


class OutputError(OSError):
    """An output cannot be put where it is wanted; ``faults`` has a line for each."""

    def __init__(self, faults: Sequence[str]) -> None:
        self.faults = tuple(faults)
        super().__init__(self.faults)

    def __str__(self) -> str:
        return "\n".join(self.faults)


class TakenError(OutputError):
    """A file of that name exists and may not be replaced."""


class Output(Struct, frozen=True, kw_only=True, eq=False):
    """Bytes and where they go.

    Attributes
    ----------
    path : Path
        The final name. Its folder must exist.
    data : bytes
        All of the file.
    mark : bytes, optional
        An existing file that holds these bytes may be replaced without ``force``: the
        program's own mark for the same design.
    """

    path: Path
    data: bytes
    mark: bytes | None = None


def put_bytes(
    path: Path, data: bytes, *, force: bool = False, mark: bytes | None = None
) -> None:
    """Put one file on disk, whole or not at all; see `put_all`."""
    put_all([Output(path=path, data=data, mark=mark)], force=force)


def put_all(outputs: Sequence[Output], *, force: bool = False) -> None:
    """Put several files on disk: all of them, or none as far as the system lets us.

    Everything that can be known beforehand is looked at before the first byte is
    written, and every file is complete on disk before the first one gets its name. If
    a later one then fails, the earlier ones are put back as they were.

    Parameters
    ----------
    outputs : sequence of Output
    force : bool
        Replace files that exist.

    Raises
    ------
    TakenError
        A file exists, without ``force`` and without the mark in it.
    OutputError
        A folder is missing, cannot be written to, or the disk is full.
    """
    targets = check_room(outputs, force=force)
    with contextlib.ExitStack() as scraps:
        ready = [
            scraps.enter_context(_written(output, target))
            for output, target in zip(outputs, targets, strict=True)
        ]
        _name_all(outputs, ready, targets)


def check_room(outputs: Sequence[Output], *, force: bool) -> list[Path]:
    """Look whether the outputs can be put; their bytes need not be there yet.

    Returns
    -------
    list of Path
        Where each really goes.

    Raises
    ------
    TakenError, OutputError
        As `put_all`: everything that stands against them, at once.
    """
    targets = [Path(os.path.realpath(output.path)) for output in outputs]
    pairs = list(zip(outputs, targets, strict=True))
    blocked = [fault for output, target in pairs if (fault := _blocked(output, target))]
    blocked += [
        f"{output.path}: is asked for twice; give each output its own name"
        for k, (output, target) in enumerate(pairs)
        if target in targets[:k]
    ]
    taken = [
        f"{output.path}: exists already; choose another name, or say --force"
        for output, target in pairs
        if target.is_file() and not force and not _is_ours(output, target)
    ]
    if blocked:
        raise OutputError([*blocked, *taken])
    if taken:
        raise TakenError(taken)
    return targets


def _blocked(output: Output, target: Path) -> str:
    """Why nothing can be put there at all; empty where it can."""
    folder = target.parent
    if target.is_dir():
        return f"{output.path}: is a folder; give the name of a file"
    if target.exists() and not target.is_file():
        return f"{output.path}: is not an ordinary file; give another name"
    if not folder.is_dir():
        return f"{output.path}: there is no folder {folder}; make it first"
    if not os.access(folder, os.W_OK):
        return f"{output.path}: the folder {folder} cannot be written to"
    return ""


def _is_ours(output: Output, target: Path) -> bool:
    """Whether the file there carries the mark given."""
    if not output.mark:
        return False
    try:
        return output.mark in target.read_bytes()
    except OSError:
        return False


@contextlib.contextmanager
def _written(output: Output, target: Path) -> Iterator[Path]:
    """The bytes complete on disk under a passing name, which is gone afterwards."""
    scrap = _beside(target, "part")
    try:
        _write(scrap, output.data)
        if target.exists():
            scrap.chmod(target.stat().st_mode & 0o777)
        yield scrap
    except OutputError:
        raise
    except OSError as error:
        raise _told(output, error) from error
    finally:
        scrap.unlink(missing_ok=True)


def _write(path: Path, data: bytes) -> None:
    # Not tempfile: its files are private, and the final one should obey the umask.
    with path.open("xb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _name_all(
    outputs: Sequence[Output], ready: Sequence[Path], targets: Sequence[Path]
) -> None:
    """Give every complete file its name; put all back if one of them fails."""
    with contextlib.ExitStack() as scraps, contextlib.ExitStack() as undo:
        for output, scrap, target in zip(outputs, ready, targets, strict=True):
            try:
                if len(outputs) > 1:
                    undo.callback(_put_back, _kept(target, scraps), target)
                scrap.replace(target)
            except OSError as error:
                raise _told(output, error) from error
        undo.pop_all()
    for folder in dict.fromkeys(target.parent for target in targets):
        _settle(folder)


def _kept(target: Path, scraps: contextlib.ExitStack) -> Path | None:
    """A second name for the file that is about to be replaced, None if there is none."""
    if not target.exists():
        return None
    old = _beside(target, "old")
    scraps.callback(old.unlink, missing_ok=True)
    try:
        old.hardlink_to(target)
    except OSError:  # a file system without links
        _write(old, target.read_bytes())
    return old


def _put_back(old: Path | None, target: Path) -> None:
    if old is None:
        target.unlink(missing_ok=True)
    elif old.exists():
        old.replace(target)


def _settle(folder: Path) -> None:
    """Push the folder's list of names to the disk, where a folder can be opened."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        with contextlib.suppress(OSError):  # some network shares refuse; names stand
            os.fsync(handle)
    finally:
        os.close(handle)


def _beside(target: Path, ending: str) -> Path:
    """A passing name in the same folder, so that giving the final one is one step."""
    return target.with_name(f".{target.name[:80]}.{os.urandom(6).hex()}.{ending}")


def _told(output: Output, error: OSError) -> OutputError:
    why = (error.strerror or str(error)).lower()
    return OutputError(
        [f"{output.path}: cannot be written: {why}; nothing was changed"]
    )
