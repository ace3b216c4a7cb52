"""A design opened in Chromium by the real command, and hands to work on it.

The page's policy stays on, so nothing here evaluates strings in the page: it is looked
at through locators and accessible names. Everything that leaves the machine, every
error on the console and every error of a script is kept in `Opened.trouble`.
"""

import os
import re
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from pathlib import Path

from playwright.sync_api import (
    Browser,
    BrowserContext,
    ConsoleMessage,
    Locator,
    Page,
    Request,
    WebSocket,
    expect,
)

from tests.browser.ready import ROOT, Fresh, Split

EXAMPLES = ROOT / "examples"
#: Where screenshots go; None unless they are asked for.
SHOTS = os.environ.get("FOOTWELL_SHOTS")
Spot = tuple[float, float]


class Server:
    """One ``footwell open`` and where it listens; ``fresh``: started as people do."""

    def __init__(
        self, file: Path | None, folder: Path, port: int = 0, *, fresh: bool = False
    ) -> None:
        words = ["open", "--no-browser"]
        words += [str(file)] if file else []
        words += ["--port", str(port)] if port else []
        self._process = Fresh(words, folder) if fresh else Split(words, folder)
        self.address = self._process.said.readline().partition(" ")[0]
        found = re.match(r"http://127\.0\.0\.1:(\d+)/", self.address)
        assert found, self.address
        self.own, self.port = found[0], int(found[1])

    def kill(self) -> None:
        """End it as a power cut would."""
        self._process.kill()


class Opened:
    """A page that shows a design.

    Attributes
    ----------
    page : Page
    server : Server
    file : Path or None
        The copy of the example that is worked on.
    trouble : list of str
        What a page must not do; the fixture looks at it in the end.
    """

    def __init__(
        self, context: BrowserContext, server: Server, file: Path | None
    ) -> None:
        self.context, self.server, self.file = context, server, file
        self.trouble: list[str] = []
        self.page = self.tab()

    def tab(self) -> Page:
        """Open a page on the design, watched."""
        page = self.context.new_page()
        page.on("request", self._see_request)
        page.on("websocket", self._see_socket)
        page.on("console", self._see_console)
        page.on("pageerror", lambda error: self.trouble.append(f"script: {error}"))
        page.goto(self.server.address)
        expect(page.locator("#file")).not_to_be_empty()
        return page

    def _see_request(self, request: Request) -> None:
        self._see(request.url)

    def _see_socket(self, socket: WebSocket) -> None:
        self._see(socket.url.replace("ws:", "http:"))

    def _see(self, url: str) -> None:
        if not url.startswith((self.server.own, "data:", "blob:" + self.server.own)):
            self.trouble.append(f"off loopback: {url}")

    def _see_console(self, message: ConsoleMessage) -> None:
        if message.type in ("error", "warning"):
            self.trouble.append(f"console: {message.text}")

    # ------------------------------------------------------------------- looking

    def point(self, name: str, page: Page | None = None) -> Locator:
        """Return the handle of a point, "brake pivot", by its accessible name."""
        start = re.compile(rf"^{re.escape(name)}(,|$)")
        return (page or self.page).locator("#drawing").get_by_role("button", name=start)

    def spot(self, what: Locator) -> Spot:
        """Return the middle of a handle on the screen."""
        box = what.locator(".hit").bounding_box()
        assert box is not None
        return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2

    def says(self, name: str, page: Page | None = None) -> str:
        """Return the accessible name of a point: "brake pivot, 118 back, 548 up"."""
        return self.point(name, page).get_attribute("aria-label") or ""

    def shot(self, name: str) -> None:
        """Keep a screenshot, where FOOTWELL_SHOTS names a folder."""
        if SHOTS:
            self.page.screenshot(path=Path(SHOTS) / f"{name}.png", full_page=True)

    # ------------------------------------------------------------------- hands

    def press(self, at: Spot) -> None:
        """Press the mouse at a place."""
        self.page.mouse.move(*at)
        self.page.mouse.down()

    def drag(self, name: str, by: Spot, steps: int = 8) -> None:
        """Drag a point by so many pixels, and let go."""
        x, y = self.spot(self.point(name))
        self.press((x, y))
        self.page.mouse.move(x + by[0], y + by[1], steps=steps)
        self.page.mouse.up()

    def touch(self, *ways: Sequence[Spot]) -> None:
        """Put fingers down one after the other, carry each along its way, lift all."""
        with self.fingers(*ways):
            pass

    @contextmanager
    def fingers(self, *ways: Sequence[Spot]) -> Iterator[None]:
        """Put fingers down, carry each along its way; lift them after what is done."""
        devtools = self.context.new_cdp_session(self.page)

        def send(kind: str, spots: Sequence[Spot]) -> None:
            points = [{"x": x, "y": y, "id": i} for i, (x, y) in enumerate(spots)]
            devtools.send(
                "Input.dispatchTouchEvent", {"type": kind, "touchPoints": points}
            )

        start, *steps = zip(*ways, strict=True)
        for count in range(1, len(ways) + 1):
            send("touchStart", start[:count])
        for spots in steps:
            send("touchMove", spots)
        yield
        send("touchEnd", ())
        devtools.detach()


@contextmanager
def opening(
    browser: Browser, folder: Path, file: Path | None, **how: object
) -> Iterator[Opened]:
    """Open a design in a browser window of its own; ``how`` is the window's."""
    (folder / "state").mkdir(exist_ok=True)
    size = {"width": 1280, "height": 860}
    with ExitStack() as stack:
        server = Server(file, folder / "state")
        stack.callback(server.kill)
        context = browser.new_context(**{"viewport": size, **how})  # type: ignore[arg-type]
        stack.callback(context.close)
        context.set_default_timeout(10_000)
        found = Opened(context, server, file)
        stack.callback(lambda: found.server.kill())  # a test may have taken another
        yield found
