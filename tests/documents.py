"""README.md and DEVELOPERS.md are what the program says: sessions in them are run.

    python tests/documents.py       write what the program says now, pictures too

A block fenced as ``console`` is a session in one folder, from one block to the next:
every line that starts with "$ footwell" is run, and what follows it is what the program
answers, both streams. ``console 12`` shows the first twelve lines of each answer. A line
"[exit 1]" stands for an exit code other than 0. Every picture of ``docs/`` that a
document shows is the file of that name that its session wrote.
"""

import os
import re
import shlex
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
NAMES = ("README.md", "DEVELOPERS.md")
#: When every file of a session was written, as far as its answers tell: seconds.
WRITTEN = 1_777_800_000
BLOCK = re.compile(r"^```(?P<info>\w.*)\n(?P<body>[\s\S]*?)^```$", re.MULTILINE)
PICTURE = re.compile(r"\((docs/[\w.-]+)\)")


@dataclass(frozen=True, kw_only=True)
class Block:
    """A fenced block: its language, the words after it, its text and its place."""

    language: str
    more: str
    body: str
    span: tuple[int, int]

    @property
    def commands(self) -> list[str]:
        """Return what is typed in a session."""
        return [line[2:] for line in self.body.splitlines() if line.startswith("$ ")]


def blocks(text: str, language: str) -> Iterator[Block]:
    """Return the fenced blocks of a language, in order."""
    for found in BLOCK.finditer(text):
        first, _, more = found["info"].partition(" ")
        if first == language:
            yield Block(
                language=first, more=more, body=found["body"], span=found.span("body")
            )


def answered(command: str, folder: Path, lines: int | None) -> str:
    """Run one command of a session; return it with its answer."""
    program, *words = shlex.split(command)
    if program != "footwell":
        raise ValueError(f"a session calls footwell only, not {program}")
    for file in folder.rglob("*"):
        os.utime(file, (WRITTEN, WRITTEN))
    done = subprocess.run(
        [sys.executable, "-m", "linkage", *words],
        cwd=folder,
        env=os.environ | {"PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8"},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        stdin=subprocess.DEVNULL,
        check=False,
        text=True,
        encoding="utf-8",
    )
    said = done.stdout.splitlines()
    if lines is not None and len(said) > lines:
        said = [*said[:lines], "..."]
    code = [f"[exit {done.returncode}]"] if done.returncode else []
    return "\n".join([f"$ {command}", *said, *code]) + "\n"


def session(text: str, folder: Path) -> str:
    """Return a document with every session in it as the program answers now."""
    shutil.copytree(ROOT / "examples", folder / "examples")
    found = list(blocks(text, "console"))
    bodies = [
        "".join(
            answered(command, folder, int(block.more) if block.more else None)
            for command in block.commands
        )
        for block in found
    ]
    for block, body in reversed(list(zip(found, bodies, strict=True))):
        start, end = block.span
        text = text[:start] + body + text[end:]
    return text


def pictures(text: str) -> list[str]:
    """Return the pictures that a document shows, from the root."""
    return list(dict.fromkeys(PICTURE.findall(text)))


def write() -> None:
    """Write every document and its pictures anew."""
    for name in NAMES:
        with tempfile.TemporaryDirectory() as folder:
            text = session((ROOT / name).read_text(encoding="utf-8"), Path(folder))
            for picture in pictures(text):
                (ROOT / picture).parent.mkdir(exist_ok=True)
                shutil.copyfile(Path(folder) / Path(picture).name, ROOT / picture)
        (ROOT / name).write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    write()
