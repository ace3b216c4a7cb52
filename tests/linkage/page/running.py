"""A page's server that runs in this process, and the ways to talk to it.

The socket is the real one, and the calls are made by the standard library and by
`websockets`: nothing of the server's own side.
"""

import http.client
import json
import os
import re
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from websockets.sync.client import ClientConnection, connect
from websockets.typing import Origin

from linkage.page.guard import Guard
from linkage.page.journal import Journal
from linkage.page.launch import bind, web_server
from linkage.page.server import application
from linkage.page.session import Session

ROOT = Path(__file__).parents[3]
JSON = {"content-type": "application/json"}
#: Seconds after which an answer is not coming any more.
PATIENCE = 30.0


class Running:
    """A server that listens, with its cookie."""

    def __init__(self, port: int, token: str) -> None:
        self.port, self.own = port, f"http://127.0.0.1:{port}"
        said = self.call("GET", f"/?token={token}")
        self.cookie = said.head["set-cookie"].partition(";")[0]

    @classmethod
    def at(cls, address: str) -> "Running":
        """Come to a server by the address that it printed."""
        front, _, token = address.partition("/?token=")
        return cls(int(front.rpartition(":")[2]), token)

    def call(self, method: str, path: str, body: Any = None, **head: str) -> "Answer":
        """Return what a bare call is answered; a body goes out as JSON."""
        line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE)
        data = None if body is None else json.dumps(body)
        line.request(
            method, path, data, {k.replace("_", "-"): v for k, v in head.items()}
        )
        answer = line.getresponse()
        found = Answer(answer.status, dict(answer.getheaders()), answer.read())
        line.close()
        return found

    def get(self, path: str) -> "Answer":
        """Return what the page's own reading is answered."""
        return self.call("GET", path, cookie=self.cookie)

    def load(self, body: Any) -> "Answer":
        """Return what the page's own loading is answered."""
        head = {"cookie": self.cookie, "origin": self.own, **JSON}
        return self.call("POST", "/load", body, **head)

    @contextmanager
    def tab(self) -> "Iterator[Talk]":
        """Open a tab; its first state has been heard."""
        with connect(
            self.own.replace("http", "ws") + "/live",
            origin=Origin(self.own),
            additional_headers={"cookie": self.cookie},
            max_size=None,
        ) as line:
            yield Talk(line)


class Answer:
    """What a call was answered."""

    def __init__(self, status: int, head: dict[str, str], body: bytes) -> None:
        self.status, self.body = status, body
        self.head = {name.lower(): said for name, said in head.items()}

    @property
    def json(self) -> Any:
        """Return the body as JSON."""
        return json.loads(self.body)


class Talk:
    """One tab's socket."""

    def __init__(self, line: ClientConnection) -> None:
        self.line, self._seq = line, 0
        self.state = self.hear("state")["state"]

    def say(self, kind: str, **body: Any) -> int:
        """Send a message; return its number."""
        self._seq += 1
        said = {"schema": 1, "kind": kind, "seq": self._seq, **body}
        self.line.send(json.dumps(said))
        return self._seq

    def hear(self, *kinds: str) -> dict[str, Any]:
        """Return the next message of these kinds; keep the newest state."""
        while True:
            found: dict[str, Any] = json.loads(self.line.recv(PATIENCE))
            if found["kind"] == "state":
                self.state = found["state"]
            if not kinds or found["kind"] in kinds:
                return found

    def ask(self, kind: str, **body: Any) -> dict[str, Any]:
        """Send a message; return the answer that carries its number."""
        seq = self.say(kind, **body)
        while (found := self.hear()).get("seq") != seq:
            pass
        return found

    def commit(self, *changes: Any, rev: int | None = None) -> dict[str, Any]:
        """Return the answer to a step of changes."""
        base = self.state["rev"] if rev is None else rev
        return self.ask("commit", base_rev=base, changes=list(changes), label="a step")


@contextmanager
def opened(folder: Path, *args: str) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """Start the real command; give its process and the address that it prints.

    ``folder`` is where it runs, and where its journal is.
    """
    process = subprocess.Popen(
        [sys.executable, "-m", "linkage", "open", "--no-browser", *args],
        env=os.environ | {"XDG_STATE_HOME": str(folder), "PYTHONPATH": str(ROOT)},
        cwd=folder,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    try:
        assert process.stdout is not None
        line = process.stdout.readline()
        found = re.fullmatch(
            r"(http://127\.0\.0\.1:\d+/\?token=[\w-]{32})  \(Ctrl-C ends it\)\n", line
        )
        assert found, line
        yield process, found[1]
    finally:
        process.kill()
        process.communicate()


@contextmanager
def running(text: str, name: str, path: Path | None, folder: Path) -> Iterator[Running]:
    """Serve a design in a thread; ``folder`` is for the journal."""
    listening = bind(0)
    port = listening.getsockname()[1]
    journal = Journal(path, folder=folder)
    guard = Guard(application(Session(text, name, path, journal), journal), port=port)
    server = web_server(guard)
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]})
    thread.start()
    try:
        yield Running(port, guard.token)
    finally:
        server.should_exit = True
        thread.join(PATIENCE)
        journal.close()
