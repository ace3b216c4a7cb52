"""Work in a thread of its own: its end, its progress, its stop."""

import asyncio
import threading
from collections.abc import Callable

import pytest

from linkage.page.worker import Stopped, Worker

Tell = Callable[[float], None]


def test_what_it_makes_and_how_far_it_is() -> None:
    heard: list[float] = []

    def work(tell: Tell) -> str:
        for share in (-1.0, 0.25, 2.0):
            tell(share)
        return "made"

    async def main() -> str:
        return await Worker(work, heard.append).done()

    assert asyncio.run(main()) == "made"
    assert heard == [0.0, 0.25, 1.0]


def test_what_it_raises_is_raised_where_it_is_awaited() -> None:
    def work(_: Tell) -> None:
        raise LookupError("lost")

    async def main() -> None:
        await Worker(work, print).done()

    with pytest.raises(LookupError, match="lost"):
        asyncio.run(main())


def test_a_stop_is_answered_at_once_and_ends_the_work() -> None:
    began, going_on, ended = (threading.Event() for _ in range(3))

    def work(tell: Tell) -> None:
        began.set()
        going_on.wait(10)
        try:
            tell(0.5)
        finally:
            ended.set()

    async def main() -> None:
        worker = Worker(work, lambda _: pytest.fail("told after the stop"))
        await asyncio.to_thread(began.wait, 10)
        worker.stop()
        with pytest.raises(Stopped):
            await asyncio.wait_for(worker.done(), 5)
        assert not ended.is_set()
        going_on.set()
        assert await asyncio.to_thread(ended.wait, 10)
        await asyncio.sleep(0)

    asyncio.run(main())


def test_work_that_outlives_the_loop_harms_nobody() -> None:
    going_on = threading.Event()
    before = threading.active_count()

    def work(_: Tell) -> None:
        going_on.wait(10)

    async def main() -> None:
        Worker(work, print)

    asyncio.run(main())
    going_on.set()
    for thread in threading.enumerate():
        if thread.daemon and thread.ident is not None:
            thread.join(5)
    assert threading.active_count() <= before
