"""The session with everybody who looks at it: states out to all tabs, each in its units.

All work on the session runs in one thread, the *desk*, in the order of asking, so that
the loop stays free and the session needs no lock. A step (whatever may change the
document) ends with a state to every tab. What a tab may ask for is for
`linkage.page.talk` to know.
"""

import asyncio
import contextlib
from collections.abc import Callable, Coroutine
from concurrent.futures import ThreadPoolExecutor
from typing import TYPE_CHECKING, Any, TypeVar

from msgspec import Struct, field

from linkage.page.journal import Journal
from linkage.page.session import Session
from linkage.page.telling import FIRST, Look, Telling
from linkage.page.wire import spell
from linkage.page.worker import Worker
from linkage.placing.records import Placement

if TYPE_CHECKING:
    from starlette.websockets import WebSocket

Made = TypeVar("Made")
#: A placement, and what the page is told of it.
Found = tuple[Placement, dict[str, Any]]
#: Seconds between two looks at the file, and for which a tab may not listen.
PERIOD, PATIENCE = 1.0, 10.0


class Tab(Struct, kw_only=True, eq=False):
    """One open page.

    Attributes
    ----------
    socket : WebSocket
    look : Look
        Its units, and the door it is seen from.
    """

    socket: "WebSocket"
    look: Look = FIRST
    _turn: asyncio.Lock = field(default_factory=asyncio.Lock)

    async def say(self, kind: str, **keys: Any) -> None:
        """Send a message."""
        await self.send(spell(kind, **keys))

    async def send(self, text: str) -> None:
        """Send a text; a tab that does not listen, or has gone, hears nothing."""
        from starlette.websockets import WebSocketDisconnect

        with contextlib.suppress(WebSocketDisconnect, RuntimeError, TimeoutError):
            async with asyncio.timeout(PATIENCE), self._turn:
                await self.socket.send_text(text)


class Search(Struct, kw_only=True, eq=False):
    """A running search for places, the tab that asked, and the revision it is of."""

    worker: Worker[Found]
    tab: Tab
    seq: int
    rev: int


class Placed(Struct, frozen=True, kw_only=True, eq=False):
    """The last placement, and the revision it belongs to."""

    placement: Placement
    rev: int


class Live:
    """The session and everybody who looks at it.

    Parameters
    ----------
    session : Session
        Touched from the desk alone, once the server runs.
    journal : Journal

    Attributes
    ----------
    telling : Telling
        For the desk too.
    tabs : list of Tab
    search : Search or None
        The one that runs.
    placed : Placed or None
        What the last one found.
    """

    def __init__(self, session: Session, journal: Journal) -> None:
        self.session, self.journal = session, journal
        self.telling = Telling(session, journal)
        self.tabs: list[Tab] = []
        self.search: Search | None = None
        self.placed: Placed | None = None
        self._desk = ThreadPoolExecutor(1, thread_name_prefix="desk")
        self._steps = asyncio.Lock()
        self._tasks: set[asyncio.Task[None]] = set()

    async def at_desk(self, work: Callable[[], Made]) -> Made:
        """Return what a piece of work on the session makes."""
        return await asyncio.get_running_loop().run_in_executor(self._desk, work)

    async def state(self, look: Look = FIRST, seq: int | None = None) -> str:
        """Return the state as a message."""
        return await self.at_desk(lambda: self._spelt(look, seq))

    async def step(
        self, work: Callable[[], object], tab: Tab | None = None, seq: int | None = None
    ) -> None:
        """Do what may change the document, and show everybody what stands now.

        The tab that asked hears its own number ``seq`` of the message.

        Raises
        ------
        Exception
            Whatever the work raises; then nobody is told anything.
        """
        async with self._steps:
            told = await self.at_desk(lambda: self._stepped(work, tab, seq))
            await asyncio.gather(*(each.send(text) for each, text in told))

    async def watch(self) -> None:
        """Look at the file now and then while somebody looks at the page."""
        known = "same"
        while True:
            await asyncio.sleep(PERIOD)
            if not self.tabs:
                continue
            found = await self.at_desk(self.session.disk)
            if found not in (known, "no file"):
                await asyncio.gather(
                    *(tab.say("disk", disk=found) for tab in self.tabs)
                )
            known = found

    def later(self, work: Coroutine[Any, Any, None]) -> None:
        """Start what nobody waits for, and keep hold of it until it ends."""
        task = asyncio.get_running_loop().create_task(work)
        self._tasks.add(task)
        task.add_done_callback(self._tasks.discard)

    def leave(self, tab: Tab) -> None:
        """Forget a tab, and what runs for it."""
        self.tabs.remove(tab)
        if self.search is not None and self.search.tab is tab:
            self.search.worker.stop()

    def close(self) -> None:
        """Stop what runs."""
        if self.search is not None:
            self.search.worker.stop()
        self._desk.shutdown(wait=True)

    def _spelt(self, look: Look, seq: int | None) -> str:
        state = self.telling.state(look)
        return spell("state", rev=self.session.rev, seq=seq, state=state)

    def _stepped(
        self, work: Callable[[], object], tab: Tab | None, seq: int | None
    ) -> list[tuple[Tab, str]]:
        """Do the work; return what each tab is to hear, each state spelt once."""
        work()
        asked = [(each, each.look, seq if each is tab else None) for each in self.tabs]
        told = {(look, own): self._spelt(look, own) for _, look, own in asked}
        return [(each, told[look, own]) for each, look, own in asked]
