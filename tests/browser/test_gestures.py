"""Points moved by hand, by keys and by finger."""

import re

import pytest
from playwright.sync_api import Locator, expect

from tests.browser.conftest import Open

pytestmark = [pytest.mark.viewer, pytest.mark.xdist_group(__name__)]
PHONE = {"width": 390, "height": 844}
AT_REST = "brake pivot, 118 back, 548 up"


def test_a_point_is_dragged_and_taken_back(opened: Open) -> None:
    """One drag is one step; text and page say the same."""
    brake = opened()
    assert brake.says("brake pivot") == AT_REST
    undo = brake.page.locator("#undo")
    expect(undo).to_be_disabled()
    brake.drag("brake pivot", (-40, 24))
    expect(undo).to_be_enabled()
    moved = brake.says("brake pivot")
    assert moved != AT_REST
    brake.shot("dragged")
    undo.click()
    expect(undo).to_be_disabled()
    expect(brake.point("brake pivot")).to_have_attribute("aria-label", AT_REST)
    brake.page.locator("#redo").click()
    expect(brake.point("brake pivot")).to_have_attribute("aria-label", moved)


def test_a_slow_hand(opened: Open) -> None:
    """Pressed, held still, then dragged."""
    brake = opened()
    x, y = brake.spot(brake.point("brake pad"))
    brake.press((x, y))
    brake.page.wait_for_timeout(300)
    brake.page.mouse.move(x + 30, y, steps=5)
    brake.page.mouse.up()
    expect(brake.page.locator("#undo")).to_be_enabled()


def test_the_card_reads_what_the_hand_has_come_to(opened: Open) -> None:
    """While it is dragged; put back, its numbers are the file's again."""
    brake = opened()
    x, y = brake.spot(brake.point("brake pivot"))
    typed = brake.page.locator("#card input")
    brake.press((x, y))
    brake.page.mouse.move(x - 50, y + 30, steps=6)
    expect(typed.first).not_to_have_value("118")
    back, up = (typed.nth(k).input_value() for k in (0, 1))
    label = f"brake pivot, {back} back, {up} up"
    expect(brake.point("brake pivot")).to_have_attribute("aria-label", label)
    brake.page.keyboard.press("Escape")
    brake.page.mouse.up()
    expect(typed.first).to_have_value("118")
    expect(typed.nth(1)).to_have_value("548")


def test_escape_puts_a_dragged_point_back(opened: Open) -> None:
    brake = opened()
    x, y = brake.spot(brake.point("brake pivot"))
    brake.press((x, y))
    brake.page.mouse.move(x - 50, y + 30, steps=6)
    brake.page.keyboard.press("Escape")
    brake.page.mouse.up()
    expect(brake.point("brake pivot")).to_have_attribute("aria-label", AT_REST)
    expect(brake.page.locator("#undo")).to_be_disabled()
    assert brake.spot(brake.point("brake pivot")) == pytest.approx((x, y), abs=0.6)


def test_three_quick_arrows_move_three(opened: Open) -> None:
    """However fast: no answer to the first may take away the second; one step."""
    brake = opened()
    pivot = brake.point("brake pivot")
    pivot.focus()
    for _ in range(3):
        brake.page.keyboard.press("ArrowUp")
    up = re.compile("118 back, 551 up")
    expect(pivot).to_have_attribute("aria-label", up)
    undo = brake.page.locator("#undo")
    expect(undo).to_be_enabled()
    undo.click()
    expect(pivot).to_have_attribute("aria-label", AT_REST)
    expect(undo).to_be_disabled()


def corner(what: Locator) -> tuple[float, float]:
    """Return where something begins on the screen."""
    box = what.bounding_box()
    assert box is not None
    return box["x"], box["y"]


def test_a_finger_drags_and_nothing_scrolls(opened: Open) -> None:
    phone = opened(viewport=PHONE, has_touch=True)
    pivot = phone.point("brake pivot")
    pivot.scroll_into_view_if_needed()
    sheet, title = phone.page.locator("#drawing"), phone.page.locator("h1")
    before, (x, y), (left, top) = title.bounding_box(), phone.spot(pivot), corner(sheet)
    phone.touch([(x, y), *((x - 4 * k, y + 3 * k) for k in range(1, 8))])
    expect(phone.page.locator("#undo")).to_be_enabled()
    assert title.bounding_box() == before
    (now_x, now_y), (now_left, now_top) = phone.spot(pivot), corner(sheet)
    assert now_x - now_left == pytest.approx(x - left - 28, abs=4.0)
    assert now_y - now_top == pytest.approx(y - top + 21, abs=4.0)
    phone.shot("phone")


@pytest.mark.parametrize("size", [PHONE, {"width": 320, "height": 640}])
def test_the_drawing_stays_where_it_is_under_a_finger(
    opened: Open, size: dict[str, int]
) -> None:
    """Whatever the card above it says, before, during and after a drag."""
    phone = opened("brake-to-place", viewport=size, has_touch=True)
    sheet, card = phone.page.locator("#drawing"), phone.page.locator("#card")
    for name in ("brake pivot", "brake hole", "brake cylinder face"):
        phone.point(name).scroll_into_view_if_needed()
        (x, y), before = phone.spot(phone.point(name)), sheet.bounding_box()
        with phone.fingers([(x, y), (x - 7, y + 9), (x - 12, y + 17)]):
            expect(card).to_contain_text(name.removeprefix("brake "))
            assert sheet.bounding_box() == before
            tall, room = card.evaluate("card => [card.scrollHeight, card.clientHeight]")
            assert tall <= room
        expect(phone.page.locator("#undo")).to_be_enabled()
        assert sheet.bounding_box() == before


def test_two_fingers_zoom(opened: Open) -> None:
    """What lies between them stays there; nothing is moved, and one alone scrolls."""
    phone = opened(viewport=PHONE, has_touch=True)
    page, pivot = phone.page, phone.point("brake pivot")
    bar, pad = page.locator(".edges .strong").first, phone.point("brake pad")
    expect(bar).to_have_text("100 mm")
    (x, y), began = corner(page.locator("#drawing")), phone.spot(pad)
    size = began[1] - phone.spot(pivot)[1]
    still = (x + 190, y + 300)
    left, right = (
        [(still[0] + s * k, still[1]) for k in (20, 30, 40)] for s in (-1, 1)
    )
    phone.touch(left, right)
    expect(bar).not_to_have_text("100 mm")
    now = phone.spot(pad)
    assert now[1] - phone.spot(pivot)[1] == pytest.approx(2 * size, rel=0.01)
    for at, was, middle in zip(now, began, still, strict=True):
        assert at - middle == pytest.approx(2 * (was - middle), abs=1.5)
    expect(page.locator("#undo")).to_be_disabled()
    x, y = phone.spot(pivot)
    phone.touch([(x, y), (x + 5, y)], [(x + 60, y), (x + 70, y)])
    expect(page.locator("#undo")).to_be_disabled()
    assert phone.says("brake pivot") == AT_REST


def test_a_second_tab_follows(opened: Open) -> None:
    brake = opened()
    other = brake.tab()
    brake.page.bring_to_front()
    brake.drag("brake pivot", (-40, 24))
    expect(brake.page.locator("#undo")).to_be_enabled()
    there = brake.says("brake pivot")
    assert there != AT_REST
    expect(brake.point("brake pivot", other)).to_have_attribute("aria-label", there)
    other.locator("#undo").click()
    expect(brake.point("brake pivot")).to_have_attribute("aria-label", AT_REST)


def test_floor_and_bulkhead_are_moved_too(opened: Open) -> None:
    """By hand, drawn on the way; by keys; by a typed number. They are never welded."""
    brake = opened()
    page, edge = brake.page, brake.page.locator(".ground .edge").first
    floor, bulkhead = brake.point("floor"), brake.point("bulkhead")
    assert brake.says("floor") == "floor, 0 up"
    (x, y), stood = brake.spot(floor), edge.get_attribute("d")
    brake.press((x, y))
    page.mouse.move(x + 5, y - 40, steps=4)
    expect(edge).not_to_have_attribute("d", stood or "")
    brake.shot("floor-dragged")
    page.mouse.up()
    expect(page.locator("#undo")).to_be_enabled()
    up = int(brake.says("floor").removeprefix("floor, ").removesuffix(" up"))
    assert up > 20
    assert brake.spot(floor)[0] == pytest.approx(x, abs=0.6)
    floor.focus()
    page.keyboard.press("ArrowUp")
    expect(floor).to_have_attribute("aria-label", f"floor, {up + 1} up")
    bulkhead.focus()
    expect(page.locator("#card").get_by_role("button", name="Lock")).to_have_count(0)
    page.keyboard.press("Enter")
    page.keyboard.type("-12.5")
    page.keyboard.press("Enter")
    expect(bulkhead).to_have_attribute("aria-label", "bulkhead, 12.5 back")
