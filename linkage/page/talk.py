"""What a tab may ask for, and what it is answered.

A function a kind of message; `serve` reads, checks and calls them. Whatever is refused
is refused to the tab that asked, with the reason and the lines, and has changed
nothing.
"""

import asyncio
import contextlib
from collections.abc import Awaitable, Callable, Iterator
from typing import TYPE_CHECKING

from linkage.design.records import Design
from linkage.faults import DesignError, Fault
from linkage.page.document import Refused
from linkage.page.live import Found, Live, Placed, Search, Tab
from linkage.page.session import OnDisk, Stale
from linkage.page.telling import Look, own_fault
from linkage.page.view import Preview
from linkage.page.wire import Message, Unfit, read, rows, spell
from linkage.page.worker import Stopped, Worker

if TYPE_CHECKING:
    from starlette.websockets import WebSocket

BUSY = Fault(
    key="place", wrong="a search is running.", right="Wait for its end, or stop it."
)
CHANGED = Fault(
    key="base_rev",
    wrong="the design has changed since.",
    right="Look at what stands now, and do it again.",
)


async def serve(live: Live, socket: "WebSocket") -> None:
    """Talk to one tab until it goes."""
    from starlette.websockets import WebSocketDisconnect

    await socket.accept()
    tab = Tab(socket=socket)
    live.tabs.append(tab)
    try:
        await tab.send(await live.state())
        with contextlib.suppress(WebSocketDisconnect):
            while (said := await socket.receive())["type"] == "websocket.receive":
                await heed(live, tab, said.get("text") or said.get("bytes") or "")
    finally:
        live.leave(tab)


async def heed(live: Live, tab: Tab, said: str | bytes) -> None:
    """Do what a message asks for, or say why not."""
    seq = None
    try:
        message = read(said)
        seq = message.seq
        await HEEDED[message.kind](live, tab, message)
    except Unfit as unfit:
        await refuse(tab, unfit.seq, "faults", unfit.fault)
    except (Refused, DesignError) as error:
        await refuse(tab, seq, "faults", *error.faults)
    except (OnDisk, OSError) as error:
        await refuse(tab, seq, "disk", *_unwritten(error))
    except Stale:
        await _refuse_stale(live, tab, seq)
    except Exception as error:  # noqa: BLE001 - the last net: the page stays alive
        await refuse(tab, seq, "own", own_fault(error))


async def refuse(tab: Tab, seq: int | None, why: str, *faults: Fault) -> None:
    """Say that what was asked was not done."""
    await tab.say("refused", seq=seq, why=why, faults=rows(faults), state=None)


async def _refuse_stale(live: Live, tab: Tab, seq: int | None) -> None:
    """Say that the design has moved on, and how it stands now."""
    state = await live.at_desk(lambda: live.telling.state(tab.look))
    faults = rows([CHANGED])
    await tab.say("refused", seq=seq, why="stale", faults=faults, state=state)


def _unwritten(error: Exception) -> Iterator[Fault]:
    """Yield why a file could not be written."""
    strerror = getattr(error, "strerror", None)
    for line in (strerror or str(error)).splitlines():
        yield Fault(
            key="save",
            wrong=f"{line.rstrip('.')}.",
            right="Download the design, and put it where it can be written.",
        )


# ------------------------------------------------------------------------ the drawing


async def preview(live: Live, tab: Tab, message: Message) -> None:
    """Show what would move, then what can be told of it; nothing changes."""
    body, session = message.body, live.session

    def work() -> tuple[Preview, str]:
        moved = session.preview(body["base_rev"], body["changes"])
        found = live.telling.preview(moved, tab.look)
        result = {**found.drawn, "caught": moved.caught}
        return found, spell("preview", seq=message.seq, rev=session.rev, result=result)

    found, drawn = await live.at_desk(work)
    await tab.send(drawn)
    if body.get("whole", True):
        told = await live.at_desk(found.told)
        await tab.say("told", seq=message.seq, result=told)


async def show(live: Live, tab: Tab, message: Message) -> None:
    """Show this tab the design in other units, from a door, with some pads at a place."""
    body = message.body
    also = tuple(sorted(body.get("also", {}).items()))
    tab.look = Look(units=body["units"], door=body["door"], also=also)
    await tab.send(await live.state(tab.look, message.seq))


# --------------------------------------------------------------------------- the text


async def commit(live: Live, tab: Tab, message: Message) -> None:
    """Make changes: one step."""
    base, changes, label = (message.body[k] for k in ("base_rev", "changes", "label"))
    await live.step(lambda: live.session.commit(base, changes, label), tab, message.seq)


async def text(live: Live, tab: Tab, message: Message) -> None:
    """Put another text in the place of the whole: one step."""
    base, whole, label = (message.body[k] for k in ("base_rev", "text", "label"))
    await live.step(lambda: live.session.replace(base, whole, label), tab, message.seq)


async def undo(live: Live, tab: Tab, message: Message) -> None:
    """Take back the last step."""
    await live.step(live.session.undo, tab, message.seq)


async def redo(live: Live, tab: Tab, message: Message) -> None:
    """Do again what was taken back."""
    await live.step(live.session.redo, tab, message.seq)


# --------------------------------------------------------------------------- the file


async def save(live: Live, tab: Tab, message: Message) -> None:
    """Write the text to its file; every tab sees that it is saved."""
    force = message.body["force"]
    await live.step(lambda: live.session.save(force=force))
    await tab.say("saved", seq=message.seq)


async def reload(live: Live, tab: Tab, message: Message) -> None:
    """Take what stands in the file now."""
    await live.step(live.session.reload, tab, message.seq)


async def recover(live: Live, tab: Tab, message: Message) -> None:
    """Take what a killed server left, or let it go."""
    session, journal = live.session, live.journal

    def work() -> None:
        if journal.found is not None and message.body["take"]:
            session.replace(session.rev, journal.found.text, "recovery")
        journal.answer()

    await live.step(work, tab, message.seq)


# ---------------------------------------------------------------------------- placing


async def place(live: Live, tab: Tab, message: Message) -> None:
    """Start a search for places; its end is told later."""
    document, rev = await live.at_desk(
        lambda: (live.session.document, live.session.rev)
    )
    design = document.design
    if rev != message.body["base_rev"]:
        raise Stale
    if design is None:
        raise Refused(document.faults)
    asked = {key: message.body[key] for key in ("pedal", "mark", "seed")}
    units, door = tab.look.units, tab.look.door

    def work(tell: Callable[[float], None]) -> Found:
        from linkage.page.answers import answers
        from linkage.placing.place import place as find

        found = find(design, progress=tell, **asked)
        return found, answers(found, units=units, door=door)

    def tell(share: float) -> None:
        live.later(tab.say("progress", seq=message.seq, share=share))

    if live.search is not None:
        await refuse(tab, message.seq, "busy", BUSY)
        return
    live.search = Search(worker=Worker(work, tell), tab=tab, seq=message.seq, rev=rev)
    live.later(_end(live, live.search))


async def _end(live: Live, search: Search) -> None:
    """Tell a tab what its search found."""
    tab, seq, rev = search.tab, search.seq, search.rev
    try:
        found, told = await search.worker.done()
    except Stopped:
        await tab.say("placed", seq=seq, rev=rev, status="stopped")
    except DesignError as error:
        await refuse(tab, seq, "faults", *error.faults)
    except Exception as error:  # noqa: BLE001 - as in `heed`
        await refuse(tab, seq, "own", own_fault(error))
    else:
        live.placed = Placed(placement=found, rev=rev)
        await tab.say("placed", seq=seq, rev=rev, **told)
    finally:
        live.search = None


async def stop(live: Live, tab: Tab, message: Message) -> None:
    """Stop the search that runs; nothing happens where none does."""
    if live.search is not None:
        live.search.worker.stop()
    await tab.say("stopped", seq=message.seq)


async def take(live: Live, tab: Tab, message: Message) -> None:
    """Put an answer of the last search in the place of the text."""
    number, placed = message.body["answer"], live.placed
    if placed is None:
        raise Stale
    answers = placed.placement.answers
    if not 1 <= number <= len(answers):
        wrong, right = f"there is no answer {number}.", "Take one of those shown."
        raise Refused([Fault(key="answer", wrong=wrong, right=right)])
    whole, label = answers[number - 1].text, f"answer {number}"
    await live.step(
        lambda: live.session.replace(placed.rev, whole, label), tab, message.seq
    )


# --------------------------------------------------------------------------- checking


async def check(live: Live, tab: Tab, message: Message) -> None:
    """Check the pedals as they stand, beside all else; it is told when it is done."""
    document, rev = await live.at_desk(
        lambda: (live.session.document, live.session.rev)
    )
    if document.design is None:
        raise Refused(document.faults)
    live.later(_checked(tab, message.seq, rev, document.design))


async def _checked(tab: Tab, seq: int, rev: int, design: Design) -> None:
    """Tell a tab what a check of a design found."""
    from linkage.page.findings import findings

    try:
        told = await asyncio.to_thread(findings, design, tab.look.units)
    except DesignError as error:
        await refuse(tab, seq, "faults", *error.faults)
    except Exception as error:  # noqa: BLE001 - as in `heed`
        await refuse(tab, seq, "own", own_fault(error))
    else:
        await tab.say("checked", seq=seq, rev=rev, **told)


#: What is done for each kind of message.
HEEDED: dict[str, Callable[[Live, Tab, Message], Awaitable[None]]] = {
    each.__name__: each
    for each in (
        *(preview, show, commit, text, undo, redo),
        *(save, reload, recover, place, stop, take, check),
    )
}
