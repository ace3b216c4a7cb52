"""The panels beside the drawing: numbers, targets, and a search for places."""

import re

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Locator, Page, expect

from tests.browser.conftest import Open
from tests.browser.opened import EXAMPLES, Opened

pytestmark = [pytest.mark.viewer, pytest.mark.xdist_group(__name__)]
PHONE = {"viewport": {"width": 390, "height": 844}}
LOOKS = [("light", {}), ("dark", {"color_scheme": "dark"}), ("phone", PHONE)]
#: Milliseconds in which a search has to end on a busy machine.
LONG = 90_000
HOSTILE = "<img src=x onerror=alert(1)>"


def panel(shown: Opened, tab: str) -> Page:
    """Open a panel."""
    shown.page.get_by_role("tab", name=tab).click()
    return shown.page


def field(page: Page, label: str) -> Locator:
    """Return a field of the panel of numbers."""
    return page.locator("#fields").get_by_label(label, exact=True)


def edges(what: Locator) -> tuple[float, float, float, float]:
    """Return left and upper edge, and the others from the far side."""
    box = what.bounding_box()
    assert box is not None
    return box["x"], box["y"], -box["x"] - box["width"], -box["y"] - box["height"]


def search(shown: Opened) -> Locator:
    """Let the program place what is free; return what it found."""
    page = panel(shown, "Targets")
    page.get_by_role("button", name="Place what is free").click()
    found = page.locator("#answers article")
    expect(found.first).to_be_visible(timeout=LONG)
    return found


def test_a_typed_number_stands_in_the_file_as_it_was_typed(opened: Open) -> None:
    brake = opened()
    page = panel(brake, "Numbers")
    field(page, "pivot, back").fill("120.3")
    field(page, "pivot, back").press("Enter")
    expect(brake.point("brake pivot")).to_have_attribute(
        "aria-label", re.compile("120.3 back")
    )
    page.keyboard.press("Control+s")
    expect(page.locator("#file")).not_to_contain_text("not saved")
    assert brake.file is not None
    assert "back = 120.3" in brake.file.read_text(encoding="utf-8")


def test_a_refused_text_stays_with_its_fault_beside_it(opened: Open) -> None:
    page = panel(brake := opened(), "Numbers")
    bore = field(page, "cylinder, bore")
    bore.fill("wide")
    bore.press("Enter")
    expect(bore).to_have_attribute("aria-invalid", "true")
    fault = page.locator(".field .fault").filter(has_text=re.compile("."))
    expect(fault).to_have_count(1)
    expect(fault).to_be_in_viewport(ratio=0.95)
    expect(bore).to_have_value("wide")
    expect(page.locator("#undo")).to_be_disabled()
    brake.shot("field-refused")
    bore.press("Escape")
    expect(bore).to_have_value("3/4 in")
    expect(fault).to_have_count(0)


def test_arrows_and_a_sideways_drag_nudge_in_one_step_each(opened: Open) -> None:
    brake = opened()
    page = panel(brake, "Numbers")
    up = field(page, "pivot, up")
    for _ in range(3):
        up.press("ArrowUp")
    expect(up).to_have_value("551")
    expect(page.locator("#undo")).to_be_enabled()
    label = page.locator("#fields label").filter(has_text="up").first
    box = label.bounding_box()
    assert box is not None
    x, y = box["x"] + 8, box["y"] + 8
    brake.press((x, y))
    page.mouse.move(x - 30, y, steps=5)
    page.mouse.up()
    expect(up).to_have_value("546")
    page.locator("#undo").click()
    expect(up).to_have_value("551")
    page.locator("#undo").click()
    expect(up).to_have_value("548")
    expect(page.locator("#undo")).to_be_disabled()


def test_a_number_that_crosses_nothing_keeps_its_row(opened: Open) -> None:
    """Back turns into ahead: the same row, in hand still, and goes on."""
    text = (EXAMPLES / "brake-hanging.toml").read_text(encoding="utf-8")
    bar = "[footwell]\nbulkhead = [{ back = 2, up = 0 }, { back = 0, up = 600 }]\n"
    text = re.sub(r"bulkhead = 0\n", "", text).replace("[footwell]\n", bar)
    brake = opened(text=text)
    page = panel(brake, "Numbers")
    back = field(page, "footwell, bulkhead, 1, back")
    for _ in range(3):
        back.press("ArrowDown")
    ahead = field(page, "footwell, bulkhead, 1, ahead")
    expect(ahead).to_have_value("1")
    expect(ahead).to_be_focused()
    page.keyboard.press("ArrowUp")
    expect(ahead).to_have_value("2")
    brake.point("bulkhead, end 1").focus()
    card = page.locator("#card")
    expect(card.get_by_label("ahead")).to_have_value("2")
    for _ in range(4):
        page.keyboard.press("ArrowLeft")
    expect(card.get_by_label("back")).to_have_value("2")
    page.keyboard.press("Enter")
    page.keyboard.type("7")
    page.keyboard.press("Enter")
    expect(brake.point("bulkhead, end 1")).to_have_attribute(
        "aria-label", re.compile("7 back")
    )


def test_fields_are_drawn_when_they_are_looked_at(opened: Open) -> None:
    brake = opened()
    page = brake.page
    expect(page.locator("#charts figure").first).to_be_visible()
    expect(page.locator("#fields input")).to_have_count(0)
    panel(brake, "Numbers")
    expect(field(page, "pivot, back")).to_have_value("118")
    panel(brake, "Curves")
    brake.point("brake pivot").focus()
    page.keyboard.press("ArrowLeft")
    expect(page.locator("#undo")).to_be_enabled()
    expect(field(page, "pivot, back")).to_have_value("118")
    panel(brake, "Numbers")
    expect(field(page, "pivot, back")).to_have_value("119")


def test_a_choice_is_picked_from_what_there_is(opened: Open) -> None:
    """The picked one comes first in the file, and the others stay."""
    text = (EXAMPLES / "brake-hanging.toml").read_text(encoding="utf-8")
    bores = 'bore = { one_of = ["5/8 in", "3/4 in"] }'
    brake = opened(text=re.sub(r'bore = "3/4 in"', bores, text))
    page = panel(brake, "Numbers")
    bore = field(page, "cylinder, bore")
    expect(bore).to_have_value("5/8 in")
    expect(page.locator("#fields")).to_contain_text("a choice, read as 5/8 in")
    bore.focus()
    bore.select_option("3/4 in")
    expect(page.locator("#fields")).to_contain_text("a choice, read as 3/4 in")
    expect(bore).to_have_value("3/4 in")
    expect(bore).to_be_focused()
    page.keyboard.press("Control+s")
    expect(page.locator("#file")).not_to_contain_text("not saved")
    assert brake.file is not None
    assert '["3/4 in", "5/8 in"]' in brake.file.read_text(encoding="utf-8")


def test_a_target_says_which_rod_it_is_of(opened: Open) -> None:
    """Asked where there are several; one that there is not is not judged, and says so."""
    brake = opened("brake-floor")
    page = panel(brake, "Targets")
    page.get_by_role("button", name="Add a target").click()
    form = page.locator("#targets form")
    form.get_by_label("of what").select_option("crank angle")
    form.get_by_label("where").fill("rest")
    form.get_by_label("how").select_option("at least")
    form.get_by_label("least").fill("40")
    which = form.get_by_label("which rod or lever")
    which.fill("7")
    form.get_by_role("button", name="Apply").click()
    row = page.locator("#targets li").last
    expect(row).to_contain_text("it has 2 rods and cables")
    page.get_by_role("button", name="Change crank angle 7 at rest").click()
    expect(which).to_have_value("7")
    which.fill("1")
    form.get_by_role("button", name="Apply").click()
    expect(row).to_contain_text("holds")
    page.keyboard.press("Control+s")
    expect(page.locator("#file")).not_to_contain_text("not saved")
    assert brake.file is not None
    text = brake.file.read_text(encoding="utf-8")
    (written,) = (part for part in text.split("[[") if "crank angle" in part)
    assert re.search(r"^which = 1$", written, re.MULTILINE)
    hanging = panel(opened(), "Targets")
    hanging.get_by_role("button", name="Add a target").click()
    expect(hanging.get_by_label("which rod or lever")).to_be_hidden()


def test_what_is_locked_takes_no_number(opened: Open) -> None:
    page = panel(opened(), "Numbers")
    lock = page.get_by_role("button", name="Lock pivot")
    expect(lock).to_have_accessible_description(re.compile("nothing may move it"))
    lock.click()
    expect(field(page, "pivot, back")).not_to_be_editable()
    page.get_by_role("button", name="Unlock pivot").click()
    expect(field(page, "pivot, back")).to_be_editable()


def test_other_units_are_read_as_such(opened: Open) -> None:
    page = panel(opened(), "Numbers")
    page.get_by_role("button", name="inch").click()
    travel = field(page, "travel")
    expect(travel).to_have_value("5.9055")
    travel.fill("6")
    travel.press("Enter")
    page.get_by_role("button", name="mm", exact=True).click()
    expect(travel).to_have_value("6 in")


def test_a_target_is_changed_added_and_taken_away(opened: Open) -> None:
    page = panel(opened(), "Targets")
    rows = page.locator("#targets li")
    expect(rows.nth(0)).to_contain_text("holds")
    page.get_by_role("button", name="Change ratio, 0 to 60 mm").click()
    form = page.locator("#targets form")
    form.get_by_label("most").fill("5.5")
    form.get_by_role("button", name="Apply").click()
    expect(rows.nth(0)).to_contain_text("missed")
    page.get_by_role("button", name="Add a target").click()
    form.get_by_label("of what").select_option("distance")
    form.get_by_label("between").fill("pad, pivot")
    form.get_by_label("where").fill("rest")
    form.get_by_label("value").fill("twelve")
    form.get_by_role("button", name="Apply").click()
    expect(form.locator(".fault")).not_to_be_empty()
    form.get_by_label("value").fill("299.5")
    form.get_by_role("button", name="Apply").click()
    expect(rows.nth(2)).to_contain_text("distance")
    expect(form).to_be_hidden()
    page.get_by_role("button", name="Remove rod angle").click()
    expect(rows).to_have_count(2)


def test_an_answer_is_placed_and_taken(opened: Open) -> None:
    brake = opened("brake-to-place")
    page = brake.page
    panel(brake, "Targets")
    page.get_by_label("to be marked out").select_option("round to 0.5 mm")
    found = search(brake)
    expect(found).to_contain_text("4 of 4 targets hold")
    picture = found.get_by_role("img")
    drawn, room = edges(picture.locator(".true")), edges(picture)
    assert all(inner > outer + 1 for inner, outer in zip(drawn, room, strict=True))
    brake.shot("placed")
    page.get_by_role("button", name="Take answer 1").click()
    expect(page.locator("#targets li.met")).to_have_count(4)
    expect(found.first).to_contain_text("This answer stands in the design now")
    expect(page.locator("#answers")).not_to_contain_text("of an earlier state")
    expect(page.locator("#answers .fault").first).to_be_empty()
    page.locator("#undo").click()
    expect(found.first).to_contain_text("of an earlier state")
    expect(page.locator("#answers .fault").first).to_contain_text("has changed since")
    expect(page.locator("#targets li.missed").first).to_be_visible()
    assert search(brake).count() == 1
    expect(page.locator("#answers .old")).to_be_hidden()


def test_targets_that_fight_name_their_prices(opened: Open) -> None:
    found = search(brake := opened("brake-wishes-fight"))
    expect(found).to_contain_text("These two cannot both be had")
    expect(found.get_by_role("row", name="travel")).to_contain_text("more pad")
    brake.shot("conflict")


def test_a_search_without_anything_free_says_what_to_do(opened: Open) -> None:
    page = panel(opened(), "Targets")
    page.get_by_role("button", name="Place what is free").click()
    expect(page.locator("#answers .fault")).to_contain_text("Write a range")


def test_a_search_is_stopped(opened: Open) -> None:
    page = panel(opened("brake-wishes-fight"), "Targets")
    page.get_by_role("button", name="Place what is free").click()
    page.get_by_role("button", name="Stop", exact=True).click()
    expect(page.locator("#answers .fault")).to_contain_text("Nothing was changed")
    expect(page.get_by_role("button", name="Place what is free")).to_be_enabled()


def test_a_hostile_text_and_file_name_are_only_letters(opened: Open) -> None:
    brake = opened()
    page = panel(brake, "Numbers")
    field(page, "travel").fill(HOSTILE)
    field(page, "travel").press("Enter")
    expect(page.locator("#fields .fault").filter(has_text="<img")).to_be_visible()
    text = (EXAMPLES / "brake-floor.toml").read_bytes()
    file = {"name": f"{HOSTILE}.toml", "mimeType": "text/plain", "buffer": text}
    page.locator("summary").click()
    page.locator("input[type=file]").set_input_files(file)  # type: ignore[arg-type]
    expect(page.locator("#file")).to_contain_text("<img src=x onerror")
    assert page.locator("img").count() == 0


@pytest.mark.parametrize(("name", "how"), LOOKS)
def test_no_panel_keeps_anybody_out(
    opened: Open, name: str, how: dict[str, object]
) -> None:
    """No rule of axe-core is broken; it needs the policy off, for itself alone."""
    brake = opened("brake-to-place", bypass_csp=True, **how)
    panel(brake, "Numbers")
    brake.shot(f"numbers-{name}")
    numbers = Axe().run(brake.page)
    assert numbers.violations_count == 0, numbers.generate_report()
    search(brake)
    brake.page.get_by_role("button", name="Add a target").click()
    brake.shot(f"targets-{name}")
    targets = Axe().run(brake.page)
    assert targets.violations_count == 0, targets.generate_report()
    panel(brake, "Findings")
    expect(brake.page.locator("#check")).to_contain_text("NOT CHECKED", timeout=LONG)
    brake.shot(f"findings-{name}")
    found = Axe().run(brake.page)
    assert found.violations_count == 0, found.generate_report()


def test_earlier_curves_are_kept_beside_the_new_ones(opened: Open) -> None:
    page = (brake := opened()).page
    page.get_by_role("button", name="Keep these curves").click()
    kept = page.locator(".chart .kept .line")
    expect(kept.first).to_be_attached()
    panel(brake, "Numbers")
    field(page, "hole, along its line").fill("56")
    field(page, "hole, along its line").press("Enter")
    panel(brake, "Curves")
    was, now = kept.first, page.locator(".chart .curves .line").first
    expect(now).not_to_have_attribute("d", was.get_attribute("d") or "")
    brake.shot("curves-kept")
    page.get_by_role("button", name="Let the earlier curves go").click()
    expect(kept).to_have_count(0)


def test_a_limit_is_told_and_its_curves_are_readable(opened: Open) -> None:
    """At a dead centre the ratio runs away: its axis does not go along."""
    text = (EXAMPLES / "brake-hanging.toml").read_text(encoding="utf-8")
    brake = opened(text=text.replace("travel = 150", "travel = 520"))
    expect(brake.page.locator("#notices")).to_contain_text("LIMIT: dead centre")
    chart = brake.page.locator(".chart").first
    left = edges(chart.locator("svg"))[0]
    assert all(edges(tick)[0] >= left for tick in chart.locator(".grid text").all())
    wanted = brake.page.locator(".chart .band-room").all()
    axes = brake.page.locator(".chart .axis").all()
    assert min(edges(band)[2] for band in wanted) >= edges(axes[0])[2] - 2
    brake.shot("limit")


def test_what_is_hardly_meant_is_told(opened: Open) -> None:
    """A hole ahead of the pivot has its rod past square at rest."""
    text = (EXAMPLES / "brake-hanging.toml").read_text(encoding="utf-8")
    assert "ahead = 6.4" in text
    brake = opened(text=text.replace("ahead = 6.4", "ahead = 26.4"))
    expect(brake.page.locator("#notices")).to_contain_text("square")
    expect(brake.page.locator("#notices")).to_contain_text("Look again: line")
    brake.shot("caution")


def test_findings_are_told_shown_and_told_anew(opened: Open) -> None:
    brake = opened("brake-boosted")
    page = panel(brake, "Findings")
    grave = page.locator("#check article")
    expect(grave.first).to_be_visible(timeout=LONG)
    expect(page.locator("#check")).to_contain_text("No FAIL does not mean safe")
    expect(page.locator("#check")).to_contain_text("0 fail, 3 caution")
    expect(
        page.locator("#check td").filter(has_text="Front locks first")
    ).to_be_visible()
    hard = grave.filter(has_text="Pad travel at a hard stop")
    hard.get_by_role("button", name="Show where").click()
    number = page.get_by_label("brake travel, number")
    expect(number).to_have_value(re.compile(r"^7[67]\."))
    brake.shot("findings")
    dead = grave.filter(has_text="booster dead").last
    dead.get_by_role("button", name="Show where").click()
    expect(number).to_have_value(re.compile(r"^7[01]\."))
    brake.drag("brake hole", (-30, 0))
    expect(grave.filter(has_text="Rod")).not_to_have_count(0, timeout=LONG)


def test_effort_stands_among_the_curves_and_says_when_it_is_old(opened: Open) -> None:
    brake = opened("brake-boosted")
    page = brake.page
    chart = page.locator(".chart").filter(has_text="foot force")
    number = page.get_by_label("brake travel, number")
    number.fill("80")
    number.press("Enter")
    expect(chart.locator(".now")).to_have_text(re.compile(r"^1\d\d N$"))
    before = chart.locator(".now").inner_text()
    brake.press(brake.spot(brake.point("brake hole")))
    x, y = brake.spot(brake.point("brake hole"))
    page.mouse.move(x - 12, y, steps=12)
    expect(chart.locator(".now")).to_have_text("worked out when you let go")
    page.mouse.up()
    expect(chart.locator(".now")).not_to_have_text(before)
    expect(chart.locator(".now")).to_have_text(re.compile(r"^1\d\d N$"))
    expect(chart.locator(".now")).not_to_have_text(before)
