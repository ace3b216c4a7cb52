"""Server gone, server back, and what a kill leaves."""

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Open
from tests.browser.opened import Server

pytestmark = [pytest.mark.viewer, pytest.mark.xdist_group(__name__)]


def test_a_killed_server_loses_no_step(opened: Open) -> None:
    """The page says that it is alone; the next server offers what was not saved."""
    brake = opened()
    assert brake.file is not None
    before = brake.file.read_text(encoding="utf-8")
    brake.drag("brake pivot", (-40, 24))
    expect(brake.page.locator("#undo")).to_be_enabled()
    moved = brake.says("brake pivot")
    brake.server.kill()
    expect(brake.page.locator("#lost")).to_contain_text("does not answer")
    assert brake.file.read_text(encoding="utf-8") == before
    # The browser tells of every call that nobody took.
    lost = ("WebSocket connection", "ERR_CONNECTION_REFUSED")
    assert all(any(word in each for word in lost) for each in brake.trouble)
    brake.page.close()
    brake.trouble.clear()
    state = brake.file.parent / "state"
    brake.server = Server(brake.file, state, fresh=True)
    page = brake.tab()
    block = page.locator("#state").text_content() or ""
    assert '"recovery":{"when":' in block
    assert brake.says("brake pivot", page) != moved
    offer = page.locator(".notice").filter(has_text="left its work")
    expect(offer).to_have_count(1)
    offer.get_by_role("button", name="Take it").click()
    expect(brake.point("brake pivot", page)).to_have_attribute("aria-label", moved)
    expect(offer).to_have_count(0)


def test_what_was_served_before_is_shown_again(opened: Open) -> None:
    """Reload: the same design, undo and all."""
    brake = opened()
    brake.drag("brake pad", (30, 10))
    expect(brake.page.locator("#undo")).to_be_enabled()
    there = brake.says("brake pad")
    brake.page.reload()
    expect(brake.point("brake pad")).to_have_attribute("aria-label", there)
    expect(brake.page.locator("#undo")).to_be_enabled()
