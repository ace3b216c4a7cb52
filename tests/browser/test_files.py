"""Files on the page: saved, taken away, changed by an editor, mended, brought back."""

import re

import ezdxf
import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from tests.browser.conftest import Open
from tests.browser.opened import EXAMPLES

pytestmark = [pytest.mark.viewer, pytest.mark.xdist_group(__name__)]

TRAVEL = re.compile(r"^travel = 150.*$", re.MULTILINE)


def menu(page: Page, name: str) -> None:
    """Open the menu of files and press one of its entries."""
    page.locator("summary").click()
    page.locator(".sheetlet").get_by_text(name).click()


def type_text(page: Page, text: str) -> None:
    """Put a whole text into the design, by hand."""
    page.get_by_role("textbox", name="text of the design").fill(text)
    page.get_by_role("button", name="Apply").click()


def test_what_is_edited_is_saved_to_the_byte(opened: Open) -> None:
    found = opened()
    page, file = found.page, found.file
    assert file is not None
    before = file.read_text()
    after = TRAVEL.sub("travel = 140  # shorter", before)
    assert after != before
    menu(page, "The text of this design")
    type_text(page, after)
    expect(page.locator("#file")).to_contain_text("not saved")
    assert file.read_text() == before
    page.keyboard.press("Control+s")
    expect(page.locator("#file")).not_to_contain_text("not saved")
    assert file.read_text() == after
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#file")).to_contain_text("not saved")


@pytest.mark.parametrize("height", [860, 640])
def test_the_text_opens_at_its_top_and_leaves_the_drawing_room(
    opened: Open, height: int
) -> None:
    page = opened(viewport={"width": 1280, "height": height}).page
    menu(page, "The text of this design")
    area = page.get_by_role("textbox", name="text of the design")
    expect(area).to_be_focused()
    assert area.evaluate("area => [area.scrollTop, area.selectionStart]") == [0, 0]
    drawing = page.locator("#drawing").bounding_box()
    assert drawing is not None
    assert drawing["y"] + drawing["height"] <= height
    assert drawing["height"] >= 0.3 * height


def test_faults_stand_beside_their_lines_until_they_are_mended(opened: Open) -> None:
    found = opened()
    page = found.page
    menu(page, "The text of this design")
    whole = page.get_by_role("textbox", name="text of the design").input_value()
    type_text(page, TRAVEL.sub("travell = -3", whole))
    faults = page.locator(".faults")
    expect(faults).to_contain_text("travell")
    expect(faults.locator("code")).to_have_text(["travell = -3"])
    type_text(page, whole)
    expect(page.locator("#title")).to_contain_text("Quillet")
    expect(found.point("brake pivot")).to_be_visible()


def test_a_change_on_disk_is_offered_and_never_written_over(opened: Open) -> None:
    found = opened()
    page, file = found.page, found.file
    assert file is not None
    menu(page, "The text of this design")
    whole = file.read_text()
    type_text(page, TRAVEL.sub("travel = 140", whole))
    theirs = TRAVEL.sub("travel = 133", whole)
    file.write_text(theirs)
    page.keyboard.press("Control+s")
    notice = page.locator(".notice")
    expect(notice).to_contain_text("Another program has changed the file")
    assert file.read_text() == theirs
    notice.get_by_role("button", name="Take the file's").click()
    expect(notice).to_have_count(0)
    text = page.get_by_role("textbox", name="text of the design")
    expect(text).to_have_value(theirs)


def test_the_arm_is_taken_away_as_the_command_cuts_it(opened: Open) -> None:
    found = opened()
    page = found.page
    with page.expect_download() as waiting:
        menu(page, "Arm to cut, DXF")
    taken = waiting.value
    assert taken.suggested_filename.endswith("-arm.dxf")
    drawing = ezdxf.readfile(taken.path())
    assert not drawing.audit().errors
    assert len(drawing.modelspace()) > 0


def test_what_cannot_be_cut_yet_says_which_number_and_what_to_do_here(
    opened: Open,
) -> None:
    """The menu is shut, so that nothing covers what is said."""
    found = opened("brake-to-place")
    page = found.page
    menu(page, "Arm to cut, DXF")
    notice = page.locator(".notice").filter(has_text="is still free")
    expect(notice).to_contain_text(re.compile(r"line \d+, pivot\.back: "))
    expect(notice).to_contain_text("Place what is free, under Targets, or write one")
    expect(notice).not_to_contain_text("Run")
    expect(page.locator(".sheetlet")).to_be_hidden()
    notice.get_by_role("button", name="Close").click()
    expect(notice).to_have_count(0)
    (said,) = found.trouble  # the browser's own word for a refusal
    assert "422" in said
    found.trouble.clear()


def test_a_save_is_told_beside_the_name_and_aloud(opened: Open) -> None:
    found = opened()
    page = found.page
    found.point("brake pivot").focus()
    page.keyboard.press("ArrowLeft")
    expect(page.locator("#file")).to_contain_text("not saved")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.locator("#file")).to_contain_text(f"saved as {found.file}")
    expect(page.locator("#spoken")).to_have_text(f"saved as {found.file}")
    expect(page.locator("#file")).not_to_contain_text("saved as", timeout=9000)


def test_inches_and_the_left_door_are_a_look_and_no_change(opened: Open) -> None:
    found = opened()
    page = found.page
    page.get_by_role("button", name="inch").click()
    expect(page.locator(".travel .unit").first).to_have_text("in")
    page.get_by_role("button", name="left door").click()
    expect(page.get_by_role("button", name="left door")).to_have_attribute(
        "aria-pressed", "true"
    )
    expect(page.locator("#file")).not_to_contain_text("not saved")


def test_a_hostile_name_is_only_letters(opened: Open) -> None:
    found = opened()
    page = found.page
    bad = '"><img src=x onerror=alert(1)></script><script>alert(2)</script>'
    menu(page, "The text of this design")
    area = page.get_by_role("textbox", name="text of the design")
    whole = area.input_value()
    type_text(page, re.sub(r'(?m)^title = ".*"$', f"title = '{bad}'", whole))
    expect(page.locator("#title")).to_contain_text("<img src=x")
    assert page.locator("img").count() == 0
    page.reload()
    expect(page.locator("#title")).to_contain_text("<img src=x")
    assert page.locator("img").count() == 0


def test_a_file_of_ones_own_and_an_example_are_opened_and_undone(
    opened: Open,
) -> None:
    found = opened()
    page = found.page
    page.locator("summary").click()
    page.locator("input[type=file]").set_input_files(EXAMPLES / "clutch-reverse.toml")
    expect(page.locator("#file")).to_contain_text("clutch-reverse.toml")
    menu(page, "a hanging brake with one cylinder")
    expect(page.locator("#file")).to_contain_text("hanging-brake.toml")
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#file")).to_contain_text("clutch-reverse.toml")


def test_a_picked_file_with_faults_is_put_up_to_be_mended(opened: Open) -> None:
    """As one is that was given on the command line; Undo leads back to what stood."""
    found = opened()
    page = found.page
    whole = (EXAMPLES / "brake-floor.toml").read_text()
    bad = whole.replace("pivot =", "pivott =", 1).encode()
    file = {"name": "mine.toml", "mimeType": "text/plain", "buffer": bad}
    page.locator("summary").click()
    page.locator("input[type=file]").set_input_files(file)  # type: ignore[arg-type]
    expect(page.locator("#file")).to_contain_text("mine.toml")
    expect(page.locator(".faults")).to_contain_text("pivott")
    found.shot("picked-faulty")
    type_text(page, whole)
    expect(found.point("brake pivot")).to_be_visible()
    for _ in range(2):
        page.get_by_role("button", name="Undo").click()
    expect(page.locator("#file")).to_contain_text("brake-hanging.toml")
    expect(found.point("brake pivot")).to_be_visible()


def test_the_caution_stands_below_a_faulty_file_too(opened: Open) -> None:
    sound, faulty = opened(), opened(text="[pedal.brake]\npadd = [3, 4]\n")
    told = sound.page.locator("#caution").inner_text()
    assert "licensed" in told
    expect(faulty.page.locator("#caution")).to_have_text(told)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nobody_is_kept_out_of_the_files(opened: Open, scheme: str) -> None:
    """No rule of axe-core is broken with the menu open, and where a text has faults."""
    found = opened(
        text="[pedal.brake]\npadd = [3, 4]\n", bypass_csp=True, color_scheme=scheme
    )
    expect(found.page.locator(".faults")).to_contain_text("padd")
    faulty = Axe().run(found.page)
    assert faulty.violations_count == 0, faulty.generate_report()
    found.page.locator("summary").click()
    menu_open = Axe().run(found.page)
    assert menu_open.violations_count == 0, menu_open.generate_report()
