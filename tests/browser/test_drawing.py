"""The drawing: pads carried along their arcs, letters, zoom, refusals, speed."""

import json
import re
from itertools import combinations
from math import dist

import pytest
from click.testing import CliRunner
from playwright.sync_api import Locator, Page, expect

from linkage.commands import footwell
from tests.browser.conftest import Open
from tests.browser.hand import drag_on
from tests.browser.opened import EXAMPLES

pytestmark = [pytest.mark.viewer, pytest.mark.xdist_group(__name__)]
#: Pixels; the height of a number on the drawing, and some.
HEIGHT = 17.0
SPOTS = """(layer, ticks) => Object.fromEntries(ticks.map(([text, x, z]) => {
  const { x: px, y: py } = new DOMPoint(x, -z).matrixTransform(layer.getScreenCTM());
  return [text, [px, py]];
}))"""
Box = tuple[float, float, float, float]
NAMES = sorted(file.stem for file in EXAMPLES.glob("*.toml"))
PHONE = {"viewport": {"width": 390, "height": 844}}
ROOM = """words => words.map((each) => {
  const { left, top, right, bottom } = each.getBoundingClientRect();
  return [each.textContent, [left, top, right, bottom]];
})"""


def grip(page: Page, pedal: str = "brake") -> Locator:
    """Return what presses a pad."""
    return page.get_by_role("slider", name=f"{pedal} pad, travel")


def test_the_pad_is_pressed_by_hand(opened: Open) -> None:
    """Along its arc; the reading follows, the design does not change."""
    brake = opened()
    x, y = brake.spot(grip(brake.page))
    brake.press((x, y))
    brake.page.mouse.move(x + 60, y + 6, steps=5)
    brake.page.mouse.up()
    expect(grip(brake.page)).not_to_have_attribute("aria-valuenow", "0")
    told = (grip(brake.page).get_attribute("aria-valuetext") or "").partition(" ")[0]
    expect(brake.page.locator(".figures dd").first).to_have_text(told)
    expect(brake.page.locator("#undo")).to_be_disabled()


def test_the_pad_is_pressed_by_keys_and_numbers(opened: Open) -> None:
    brake = opened()
    grip(brake.page).focus()
    brake.page.keyboard.press("End")
    expect(grip(brake.page)).to_have_attribute("aria-valuetext", "150.0 mm")
    brake.page.keyboard.press("ArrowLeft")
    expect(grip(brake.page)).to_have_attribute("aria-valuenow", "99")
    number = brake.page.get_by_label("brake travel, number")
    number.fill("3 in")
    number.press("Enter")
    expect(grip(brake.page)).to_have_attribute("aria-valuenow", "51")
    number.fill("far")
    number.press("Enter")
    expect(number).to_have_attribute("aria-invalid", "true")
    expect(grip(brake.page)).to_have_attribute("aria-valuenow", "51")


def test_a_typed_place_is_shown_as_the_command_line_says(opened: Open) -> None:
    """The very figures of ``sweep --at``; and they stay with that place in a drag."""
    brake = opened()
    assert brake.file is not None
    number = brake.page.get_by_label("brake travel, number")
    figures = brake.page.locator(".figures dd")
    number.fill("77.3")
    number.press("Enter")
    expect(figures.first).to_have_text("77.3")
    asked = ["sweep", str(brake.file), "--at", "77.3"]
    lines = CliRunner().invoke(footwell, asked).stdout.splitlines()
    (row,) = (line.split() for line in lines if line.split()[:1] == ["77.3"])
    assert " ".join(figures.all_inner_texts()).split() == row
    x, y = brake.spot(brake.point("brake pivot"))
    brake.press((x, y))
    brake.page.mouse.move(x - 20, y + 6, steps=6)
    expect(figures.nth(2)).not_to_have_text(row[2])
    expect(figures.first).to_have_text("77.3")
    brake.page.mouse.up()
    expect(brake.page.locator("#undo")).to_be_enabled()
    expect(figures.first).to_have_text("77.3")


def test_a_mark_beside_the_slider_is_passed_once_the_pad_has_gone_on(
    opened: Open,
) -> None:
    page = opened().page
    met, number = (
        page.locator(".travel .met"),
        page.get_by_label("brake travel, number"),
    )
    expect(page.locator(".letter.mark").first).to_be_visible()
    marks = page.locator(".letter.mark").all_text_contents()
    (mark,) = (each for each in marks if each.startswith("rod square at"))
    at = float(mark.rpartition(" ")[2])
    for on, told in ((0.5, mark), (20.0, f"passed: {mark}")):
        number.fill(str(at + on))
        number.press("Enter")
        expect(met).to_have_text(told)


def test_play_carries_every_pad(opened: Open) -> None:
    three = opened("three-on-one-shaft")
    button = three.page.get_by_role("button", name="Play", exact=True)
    button.click()
    for pedal in ("clutch", "brake", "throttle"):
        expect(grip(three.page, pedal)).not_to_have_attribute("aria-valuenow", "0")
    three.page.get_by_role("button", name="Stop", exact=True).click()
    expect(button).to_be_visible()


def test_what_is_typed_wrongly_is_refused_in_words(opened: Open) -> None:
    """The number that stood there is kept, and Escape leads back to the handle."""
    brake = opened()
    brake.point("brake pivot").focus()
    brake.page.keyboard.press("Enter")
    brake.page.keyboard.type("1l8")
    brake.page.keyboard.press("Enter")
    expect(brake.page.locator("#refusal")).to_contain_text("not a number")
    brake.page.keyboard.press("Escape")
    expect(brake.point("brake pivot")).to_be_focused()
    assert "118 back" in brake.says("brake pivot")
    brake.page.keyboard.press("Enter")
    brake.page.keyboard.type("120")
    brake.page.keyboard.press("Enter")
    expect(brake.point("brake pivot")).to_have_attribute(
        "aria-label", re.compile("120 back")
    )
    expect(brake.page.locator("#refusal")).to_be_empty()


def test_inches_are_typed_into_a_file_in_mm(opened: Open) -> None:
    """What is typed bare means the unit beside it, and the file says so."""
    brake = opened()
    show = "() => import('/static/store.js').then((m) => m.send('show', SHOWN))"
    brake.page.evaluate(show.replace("SHOWN", "{ units: 'in', door: 'right' }"))
    expect(brake.page.locator(".travel .unit")).to_have_text("in")
    brake.point("brake pivot").focus()
    brake.page.keyboard.press("Enter")
    expect(brake.page.locator("#card").get_by_label("pivot, back")).to_have_value(
        "4.6457"
    )
    brake.page.keyboard.type("4 3/4")
    brake.page.keyboard.press("Enter")
    expect(brake.point("brake pivot")).to_have_attribute(
        "aria-label", re.compile("4 3/4 back")
    )
    expect(brake.page.locator("#undo")).to_be_enabled()


def test_what_is_welded_says_so(opened: Open) -> None:
    text = (EXAMPLES / "brake-hanging.toml").read_text(encoding="utf-8")
    brake = opened(text=text.replace("travel =", 'locked = ["pivot"]\ntravel =', 1))
    brake.point("brake pivot").focus()
    brake.page.keyboard.press("ArrowRight")
    expect(brake.page.locator("#refusal")).to_contain_text("welded")
    assert "118 back" in brake.says("brake pivot")


def test_the_paper_is_zoomed_and_fitted(opened: Open) -> None:
    brake = opened()
    bar = brake.page.locator(".edges .strong").first
    expect(bar).to_have_text("100 mm")
    began = brake.spot(brake.point("brake pad"))
    brake.page.mouse.move(300, 400)
    brake.page.mouse.wheel(0, -900)
    expect(bar).not_to_have_text("100 mm")
    brake.point("brake pad").focus()
    brake.page.keyboard.press("0")
    expect(bar).to_have_text("100 mm")
    assert brake.spot(brake.point("brake pad")) == pytest.approx(began, abs=0.6)


def boxes(page: Page) -> list[tuple[str, Box]]:
    """Return the words on the drawing and the room they take, all at one moment."""
    words = page.locator(".notes text, .edges text")
    found: list[tuple[str, Box]] = words.evaluate_all(ROOM)
    return found


def meet(a: Box, b: Box) -> bool:
    """Return whether two boxes share more than their edges' leading."""
    return a[0] < b[2] - 1 and b[0] < a[2] - 1 and a[1] < b[3] - 2 and b[1] < a[3] - 2


@pytest.mark.parametrize("how", [{}, PHONE], ids=["desk", "phone"])
@pytest.mark.parametrize("example", NAMES)
def test_no_word_lies_on_another(
    opened: Open, example: str, how: dict[str, object]
) -> None:
    design = opened(example, **how)
    expect(design.page.locator(".notes text").first).to_be_visible()
    design.shot(f"drawing-{example}")
    found = boxes(design.page)
    assert len(found) > 8
    assert not [
        (one, other) for (one, a), (other, b) in combinations(found, 2) if meet(a, b)
    ]


@pytest.mark.parametrize("how", [{}, PHONE], ids=["desk", "phone"])
@pytest.mark.parametrize("example", ["brake-to-place", "brake-inches"])
def test_no_word_lies_on_the_sign_beside_a_point(
    opened: Open, example: str, how: dict[str, object]
) -> None:
    """Free, guessed, measured: the sign says so, as long as it can be seen."""
    page = opened(example, **how).page
    expect(page.locator("g.handle").first).to_be_visible()
    words = page.locator(".notes text").evaluate_all(ROOM)
    signs = page.locator(".handle .badge[d]").evaluate_all(ROOM)
    assert len(signs) > 2
    assert [
        text for text, box in words if any(meet(box, sign) for _, sign in signs)
    ] == []


@pytest.mark.parametrize("how", [{}, PHONE], ids=["desk", "phone"])
@pytest.mark.parametrize("example", NAMES)
def test_a_number_of_the_travel_stands_at_its_own_tick(
    opened: Open, example: str, how: dict[str, object]
) -> None:
    """Wherever the pad is: about a letter's height off, and nearest to its own."""
    page = opened(example, **how).page
    expect(page.locator(".notes text").first).to_be_visible()
    state = json.loads(page.locator("#state").text_content() or "")
    (pedal, *_) = state["state"]["result"]["pedals"]
    ticks = [
        tick for i, tick in enumerate(pedal["ticks"]) if tick[0] and i and i % 5 == 0
    ]
    number = page.get_by_label(f"{pedal['name']} travel, number")
    for share in (0.0, 0.5, 1.0):
        number.fill(str(share * pedal["at"][-1]))
        number.press("Enter")
        page.wait_for_timeout(60)
        at = page.locator("#drawing > .true").evaluate(SPOTS, ticks)
        for text, box in page.locator(".letter.tick").evaluate_all(ROOM):
            assert away(at[text], box) <= HEIGHT
            middle = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2
            assert min(at, key=lambda each: dist(at[each], middle)) == text


def away(spot: tuple[float, float], box: Box) -> float:
    """Return how far a box is from a place."""
    x, y = spot
    return dist(spot, (min(max(x, box[0]), box[2]), min(max(y, box[1]), box[3])))


def test_no_word_lies_under_a_grip_when_the_paper_shrinks(opened: Open) -> None:
    """As it does where a notice opens above it."""
    brake = opened()
    for height in (820, 780, 740):
        brake.page.set_viewport_size({"width": 1280, "height": height})
        brake.page.wait_for_timeout(100)
        ((_, arrow),) = brake.page.locator(".grip .arrow").evaluate_all(ROOM)
        assert not [word for word, box in boxes(brake.page) if meet(arrow, box)]


def test_each_answer_of_a_drag_is_drawn(opened: Open) -> None:
    """However slow the machine: what has come by a frame stands in that frame."""
    drag = drag_on(opened("three-on-one-shaft"), '"shaft"', listen=True)
    assert drag.answers > 5
    assert drag.shown == drag.answers
