"""A server on this machine: started on a free port, shown in a browser, ended cleanly.

Nothing here prints: what is to be said goes to whoever launches.
"""

import contextlib
import gc
import os
import socket
import sys
import threading
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from linkage.faults import DesignError, Fault
from linkage.page.guard import Guard
from linkage.page.journal import Journal
from linkage.page.session import Session
from linkage.page.wire import MOST_FILE, MOST_MESSAGE

if TYPE_CHECKING:
    from uvicorn import Server

HOST = "127.0.0.1"
#: Seconds that an ending server gives its sockets.
GRACE = 2


def launch(
    text: str,
    name: str,
    path: Path | None,
    *,
    port: int,
    browser: bool,
    say: Callable[[str], None],
) -> bool:
    """Serve a design until Ctrl-C; return whether unsaved changes are kept aside.

    Parameters
    ----------
    text, name : str
        The design, and what it is called.
    path : Path or None
        Its file.
    port : int
        0 for one that is free.
    browser : bool
        Show it in a browser.
    say : callable
        Called with the address once calls are taken.

    Raises
    ------
    DesignError
        The port cannot be had.
    """
    from linkage.page.server import application

    listening = bind(port)
    port = listening.getsockname()[1]
    journal = Journal(path)
    session = Session(text, name, path, journal)
    guard = Guard(application(session, journal), port=port)
    address = f"http://{HOST}:{port}/?token="
    say(address + guard.token)
    if browser:
        threading.Thread(target=show, args=[address + guard.once], daemon=True).start()
    with contextlib.suppress(KeyboardInterrupt):
        settled(web_server(guard)).run(sockets=[listening])
    journal.close()
    return journal.holds


def web_server(guard: Guard) -> "Server":
    """Return a server, not yet running, of what stands behind a guard."""
    from uvicorn import Config, Server

    config = Config(
        guard,
        ws="websockets-sansio",
        ws_max_size=MOST_FILE + 2 * MOST_MESSAGE,
        ws_per_message_deflate=False,
        log_config=None,
        log_level="critical",
        proxy_headers=False,
        access_log=False,
        server_header=False,
        timeout_graceful_shutdown=GRACE,
    )
    return Server(config)


def settled(server: "Server") -> "Server":
    """Load all that a server needs, and let the collector of garbage pass over it.

    A look through everything that is loaded takes several frames of a drag; what comes
    later is little, and is looked through in a small part of one.
    """
    server.config.load()
    gc.freeze()
    return server


def bind(port: int) -> socket.socket:
    """Return a socket that takes calls of this machine alone.

    Raises
    ------
    DesignError
        The port cannot be had.
    """
    # By its name, for asyncio lets only such send small pieces at once.
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    if os.name == "posix":
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((HOST, port))
        listening.listen(64)
    except OSError as error:
        listening.close()
        why = (error.strerror or "not to be had").lower()
        wrong = f"{port} cannot be used: {why}."
        right = "Name another, or leave --port out: a free one is found."
        raise DesignError([Fault(key="--port", wrong=wrong, right=right)]) from error
    return listening


def show(address: str) -> None:
    """Open a browser window, where this machine has windows."""
    import webbrowser

    windows = sys.platform in ("win32", "darwin") or any(
        os.environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY", "BROWSER")
    )
    if windows:
        with contextlib.suppress(webbrowser.Error):
            webbrowser.open(address)
