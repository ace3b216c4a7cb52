"""One long piece of work in a thread of its own: its progress, its stop.

The thread is left behind where it must be: a stop is answered at once, and the work
ends when it next tells how far it is. Nothing waits for it, the end of the program
neither. What the work is, is the caller's business.
"""

import asyncio
import threading
from collections.abc import Callable
from typing import Any, Generic, TypeVar

Made = TypeVar("Made")
Tell = Callable[[float], None]


class Stopped(Exception):  # noqa: N818 - it says what happened
    """The work was asked to stop."""


class Worker(Generic[Made]):
    """Runs ``work`` in a thread; to be made inside a running loop.

    Parameters
    ----------
    work : callable
        Takes what it is to call with the share that is done, 0 to 1.
    tell : callable
        Called in the loop with each such share.
    """

    def __init__(self, work: Callable[[Tell], Made], tell: Tell) -> None:
        self._loop = asyncio.get_running_loop()
        self._future: asyncio.Future[Made] = self._loop.create_future()
        self._stop, self._tell = threading.Event(), tell
        threading.Thread(target=self._run, args=(work,), daemon=True).start()

    async def done(self) -> Made:
        """Return what the work made.

        Raises
        ------
        Stopped
            It was stopped.
        Exception
            Whatever the work raised.
        """
        return await self._future

    def stop(self) -> None:
        """Ask the work to stop, and take it for stopped."""
        self._stop.set()
        self._end(Stopped())

    def _run(self, work: Callable[[Tell], Made]) -> None:
        try:
            made: Made | BaseException = work(self._heard)
        except BaseException as error:  # noqa: BLE001 - it is raised where it is awaited
            made = error
        self._call(self._end, made)

    def _heard(self, share: float) -> None:
        """Pass on how far the work is; end it where it was stopped."""
        if self._stop.is_set():
            raise Stopped
        self._call(self._tell, min(max(share, 0.0), 1.0))

    def _call(self, what: Callable[..., object], *given: Any) -> None:
        if not self._loop.is_closed():
            self._loop.call_soon_threadsafe(what, *given)

    def _end(self, made: Made | BaseException) -> None:
        if self._future.done():
            return
        if isinstance(made, BaseException):
            self._future.set_exception(made)
        else:
            self._future.set_result(made)
