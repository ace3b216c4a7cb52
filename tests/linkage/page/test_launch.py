"""A server that is about to run."""

import asyncio
import gc
import socket

from linkage.page.guard import Guard
from linkage.page.journal import Journal
from linkage.page.launch import HOST, bind, settled, web_server
from linkage.page.server import application
from linkage.page.session import Session


def test_garbage_is_not_looked_for_among_what_was_loaded() -> None:
    """Else a drag stands still for as long as a look through the whole program takes."""
    journal = Journal(None)
    guard = Guard(application(Session("", "x.toml", None, journal), journal), port=1)
    gc.unfreeze()
    loaded = len(gc.get_objects())
    try:
        settled(web_server(guard))
        assert gc.get_freeze_count() >= loaded
        assert len(gc.get_objects()) < 0.05 * loaded
    finally:
        gc.unfreeze()
        journal.close()


def test_an_answer_in_two_pieces_waits_for_no_receipt() -> None:
    """Else the second stands for some 40 ms: Nagle's rule meets a delayed receipt."""

    async def call() -> int:
        listening, seen = bind(0), asyncio.get_running_loop().create_future()

        def taken(_: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
            line = writer.get_extra_info("socket")
            seen.set_result(line.getsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY))
            writer.close()

        async with await asyncio.start_server(taken, sock=listening):
            port = listening.getsockname()[1]
            _, writer = await asyncio.open_connection(HOST, port)
            set_at_once: int = await seen
            writer.close()
        return set_at_once

    assert asyncio.run(call()) != 0
