"""A process that has loaded what ``footwell open`` needs, and splits for each server.

To start Python, to load all and to draw a design for the first time takes longer than
most tests of the page; here it is done once. What then runs in a child is the command
itself, with its own words, folder and output. `tests.browser.test_lost` starts it as
people do.
"""

import array
import os
import signal
import socket
import subprocess
import sys
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[2]
#: The longest request: words, and the folder that is worked in.
MOST = 65_536


class Fresh:
    """A command in a new process.

    Attributes
    ----------
    said : text stream
        What it says.
    """

    def __init__(self, words: list[str], folder: Path) -> None:
        self._process = subprocess.Popen(
            [sys.executable, "-m", "linkage", *words],
            env=os.environ | {"XDG_STATE_HOME": str(folder), "PYTHONPATH": str(ROOT)},
            cwd=folder,
            stdout=subprocess.PIPE,
            text=True,
        )
        assert self._process.stdout is not None
        self.said = self._process.stdout

    def kill(self) -> None:
        """End it as a power cut would."""
        self._process.kill()
        self._process.wait()
        self.said.close()


class Split:
    """A command in a process split from one that waits; ``said`` is as in `Fresh`."""

    def __init__(self, words: list[str], folder: Path) -> None:
        ours, theirs = os.pipe()
        socket.send_fds(_line(), ["\0".join([str(folder), *words]).encode()], [theirs])
        os.close(theirs)
        self._number = array.array("q", _line().recv(8))[0]
        self.said = os.fdopen(ours, encoding="utf-8")

    def kill(self) -> None:
        """End it as a power cut would."""
        if not self.said.closed:
            os.kill(self._number, signal.SIGKILL)
            self.said.read()
            self.said.close()


@cache
def _line() -> socket.socket:
    """Return the line to the process that waits; it ends when this one does."""
    here, there = socket.socketpair()
    with there:
        there.set_inheritable(True)
        words = [sys.executable, "-m", __name__, str(there.fileno())]
        where = os.environ | {"PYTHONPATH": str(ROOT)}
        os.posix_spawn(sys.executable, words, where)
    return here


def _load() -> None:
    """Load all, and draw a design once."""
    from linkage.page.guard import Guard
    from linkage.page.journal import Journal
    from linkage.page.launch import settled, web_server
    from linkage.page.server import application
    from linkage.page.session import Session
    from linkage.page.telling import FIRST, Telling
    from linkage.templates import TEMPLATES

    journal = Journal(None)
    session = Session(TEMPLATES["hanging-brake"].text, "x.toml", None, journal)
    Telling(session, journal).state(FIRST)
    settled(web_server(Guard(application(session, journal), port=1)))
    journal.close()


def _wait(line: socket.socket) -> None:
    """Split for each request, until nobody can make one any more."""
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    while True:
        said, descriptors, _, _ = socket.recv_fds(line, MOST, 1)
        if not said:
            return
        number = os.fork()
        if number == 0:
            line.close()
            _run(said.decode().split("\0"), descriptors[0])
        os.close(descriptors[0])
        line.send(array.array("q", [number]).tobytes())


def _run(said: list[str], out: int) -> None:
    """Be the command."""
    from linkage.commands import main

    signal.signal(signal.SIGCHLD, signal.SIG_DFL)
    signal.signal(signal.SIGINT, signal.default_int_handler)
    folder, *words = said
    sys.stdout = os.fdopen(out, "w", encoding="utf-8")
    os.chdir(folder)
    os.environ["XDG_STATE_HOME"] = folder
    sys.argv = ["footwell", *words]
    main()


if __name__ == "__main__":
    _load()
    _wait(socket.socket(fileno=int(sys.argv[1])))
