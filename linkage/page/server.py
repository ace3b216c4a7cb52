"""The application: which address is answered by what. No geometry, no judgement.

    GET  /             the page, with the first state inside
    GET  /static/NAME  its scripts and styles
    GET  /file/KIND    a file to take away (``linkage.page.downloads.KINDS``)
    POST /load         another design in the place of this one
    socket /live       everything else (``linkage.page.talk``)

Who may call is for `linkage.page.guard`.
"""

import asyncio
import contextlib
import re
from collections.abc import AsyncIterator
from functools import cache, partial
from importlib.resources import files

from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, Response
from starlette.routing import Route, WebSocketRoute
from starlette.websockets import WebSocket

from linkage.faults import DesignError
from linkage.page.downloads import KINDS, download
from linkage.page.guard import TooLargeError
from linkage.page.journal import Journal
from linkage.page.live import Live
from linkage.page.session import Session
from linkage.page.talk import serve
from linkage.page.telling import own_fault
from linkage.page.wire import Unfit, inert, read_loading, rows
from linkage.templates import TEMPLATES

MEDIA = {
    ".js": "text/javascript; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".svg": "image/svg+xml",
}
#: Where the first state goes.
BLOCK = '<script type="application/json" id="state">'
#: A comment on lines of its own, and what a line is set in by.
_ASIDE = re.compile(r"^[ \t]*(?:/\*(?:[^*]|\*(?!/))*\*/|//[^\n]*)$", re.MULTILINE)
_INDENT = re.compile(r"^[ \t]+", re.MULTILINE)
#: A space of a style that parts nothing: behind a colon, about braces and semicolons.
_IDLE = re.compile(r"(?<=[:;{]) | (?=[{}])")


@cache
def statics() -> dict[str, tuple[bytes, str]]:
    """Return the page's scripts, styles and pictures with their media types, by name."""
    found = {}
    for file in files("linkage.page").joinpath("static").iterdir():
        media = MEDIA.get(f".{file.name.rpartition('.')[2]}")
        if media is not None:
            text = bare(file.read_text("utf-8"))
            if file.name.endswith(".css"):
                text = _IDLE.sub("", text)
            found[file.name] = (text.encode(), media)
    return found


def bare(text: str) -> str:
    r"""Return a script or a style as it is sent: line for line, without its comments.

    >>> bare("/** Says\n    no more. */\nif (a) {\n  b(); // now\n}")
    '\n\nif (a) {\nb(); // now\n}'
    """
    return _INDENT.sub("", _ASIDE.sub(lambda found: "\n" * found[0].count("\n"), text))


def page(state: str) -> str:
    """Return the page with a state message inside."""
    file = files("linkage.page").joinpath("static", "index.html")
    return file.read_text(encoding="utf-8").replace(BLOCK, BLOCK + inert(state), 1)


def application(session: Session, journal: Journal) -> Starlette:
    """Return the bare application, without its guard."""
    live = Live(session, journal)

    @contextlib.asynccontextmanager
    async def lifespan(_: Starlette) -> AsyncIterator[None]:
        watch = asyncio.create_task(live.watch())
        try:
            yield
        finally:
            watch.cancel()
            live.close()

    async def index(_: Request) -> Response:
        return HTMLResponse(page(await live.state()))

    async def static(request: Request) -> Response:
        found = statics().get(request.path_params["name"])
        if found is None:
            return Response(status_code=404)
        return Response(found[0], media_type=found[1])

    async def file(request: Request) -> Response:
        return await _file(live, request)

    async def load(request: Request) -> Response:
        return await _load(live, request)

    async def socket(websocket: WebSocket) -> None:
        await serve(live, websocket)

    routes = [
        Route("/", index),
        Route("/favicon.ico", lambda _: Response(status_code=204)),
        Route("/static/{name}", static),
        Route("/file/{kind}", file),
        Route("/load", load, methods=["POST"]),
        WebSocketRoute("/live", socket),
    ]
    return Starlette(routes=routes, lifespan=lifespan)


async def _file(live: Live, request: Request) -> Response:
    """Return a file to take away, or why there is none."""
    kind = request.path_params["kind"]
    if kind not in KINDS:
        return Response(status_code=404)
    asked = request.query_params
    pedal, paper = asked.get("pedal"), asked.get("paper", "a4").lower()
    session = live.session
    stands = await live.at_desk(lambda: (session.document, session.data))
    try:
        made = await asyncio.to_thread(download, *stands, kind, pedal, paper)
    except Exception as error:  # noqa: BLE001 - told, whatever it is
        return _unusable(error)
    head = {"content-disposition": made.disposition}
    return Response(made.data, media_type=made.media, headers=head)


async def _load(live: Live, request: Request) -> Response:
    """Put another design in the place of this one; a step like any other."""
    try:
        name, text = _asked(*read_loading(await request.body()))
        await live.step(partial(live.session.load, name, text))
    except TooLargeError:
        raise
    except Exception as error:  # noqa: BLE001 - told, whatever it is
        return _unusable(error)
    return JSONResponse({"rev": await live.at_desk(lambda: live.session.rev)})


def _asked(name: str, text: str | None) -> tuple[str, str]:
    """Return name and text of a design that is asked for; an example by its name."""
    if text is not None:
        return name, text
    if name not in TEMPLATES:
        raise Unfit("example", "is none that there is.")
    return f"{name}.toml", TEMPLATES[name].text


def _unusable(error: Exception) -> Response:
    """Return the answer to a call that cannot be met."""
    if isinstance(error, DesignError):
        return JSONResponse({"faults": rows(error.faults)}, status_code=422)
    if isinstance(error, Unfit):
        return JSONResponse({"faults": rows([error.fault])}, status_code=422)
    return JSONResponse({"faults": rows([own_fault(error)])}, status_code=500)
