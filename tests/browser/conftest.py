"""Chromium, once for all tests of a worker, and a design opened in it for each.

Debian's own Chromium, driven by Playwright. A machine without it skips these tests; see
``tests/conftest.py`` for the machines that must have it.
"""

import shutil
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest
from playwright.sync_api import Browser, sync_playwright

from tests.browser.opened import EXAMPLES, Opened, opening

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
FLAGS = (
    *("--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"),
    *("--disable-background-networking", "--disable-component-update"),
    "--disable-sync",
)
Open = Callable[..., Opened]


@pytest.fixture(scope="package")
def browser() -> Iterator[Browser]:
    """Give the browser; it ends with its tests, for none but them may share its loop."""
    if CHROMIUM is None:
        pytest.skip("needs Chromium: apt-get install chromium")
    with sync_playwright() as playwright:
        found = playwright.chromium.launch(executable_path=CHROMIUM, args=[*FLAGS])
        yield found
        found.close()


@pytest.fixture
def opened(browser: Browser, tmp_path: Path) -> Iterator[Open]:
    """Give what opens a copy of an example; look in the end whether all was clean."""
    with ExitStack() as stack:
        all_opened: list[Opened] = []

        def open_example(
            example: str | None = "brake-hanging",
            text: str | None = None,
            **how: object,
        ) -> Opened:
            file = None
            if example is not None:
                file = tmp_path / f"{example}.toml"
                if text is None:
                    text = (EXAMPLES / file.name).read_text(encoding="utf-8")
                file.write_text(text, encoding="utf-8", newline="")
            found = stack.enter_context(opening(browser, tmp_path, file, **how))
            all_opened.append(found)
            return found

        yield open_example
        for each in all_opened:
            assert each.trouble == []
