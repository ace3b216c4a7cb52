"""What is seen without a hand on it: for everybody, in any light, on any screen."""

from pathlib import Path

import pymupdf
import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from tests.browser.conftest import Open
from tests.browser.opened import EXAMPLES
from tests.export.outside import audit_faults

pytestmark = [pytest.mark.viewer, pytest.mark.xdist_group(__name__)]
PHONE = {"viewport": {"width": 320, "height": 640}, "has_touch": True}
HOSTILE = (
    "<img src=x onerror=alert(1)></script><script>alert(2)</script>\u2028&amp;'`${x}"
)


@pytest.mark.parametrize(
    ("name", "how"),
    [("light", {}), ("dark", {"color_scheme": "dark"}), ("phone", PHONE)],
)
def test_nobody_is_kept_out(opened: Open, name: str, how: dict[str, object]) -> None:
    """No rule of axe-core is broken; it needs the policy off, for itself alone."""
    three = opened("three-on-one-shaft", bypass_csp=True, **how)
    three.shot(name)
    found = Axe().run(three.page)
    assert found.violations_count == 0, found.generate_report()


def test_tab_goes_from_the_tools_over_the_points_to_the_numbers(opened: Open) -> None:
    """Stop by stop: toolbar, points, travel, play, figures, fields; nothing between."""
    page = opened().page
    page.get_by_role("tab", name="Numbers").focus()
    page.keyboard.press("Enter")
    page.locator("#title").click()
    wanted = [
        *("smaller", "Fit", "larger"),
        *("mm", "inch", "right door", "left door", "File"),
        *("brake pivot, 118 back, 548 up", "brake pad, face, 207 back, 262 up"),
        *("brake hole, 126.9 back, 497.9 up", "brake cylinder face, 0 ahead, 497.5 up"),
        "brake cylinder rod end, 11 ahead, 497.5 up",
        *("brake full stop, 150 of travel", "brake cylinder axis, forward, level"),
        *("floor, 0 up", "bulkhead, 0 ahead"),
        *("brake pad, travel", "Play", "brake travel", "brake travel, number"),
        *("brake", "Numbers", "pivot, back", "Lock pivot", "pivot, up"),
    ]
    passed = []
    for _ in wanted:
        page.keyboard.press("Tab")
        here = page.locator(":focus")
        passed.append(here.get_attribute("aria-label") or here.inner_text())
    assert passed == wanted


def test_a_phone_is_not_scrolled_sideways(opened: Open) -> None:
    phone = opened("three-on-one-shaft", **PHONE)
    box = phone.page.locator("html").bounding_box()
    assert box is not None
    assert box["width"] == 320
    devtools = phone.context.new_cdp_session(phone.page)
    seen = devtools.send("Page.getLayoutMetrics")
    assert seen["cssContentSize"]["width"] <= 320


def test_a_hostile_name_is_only_a_name(opened: Open) -> None:
    text = (EXAMPLES / "brake-hanging.toml").read_text(encoding="utf-8")
    title = next(line for line in text.splitlines() if line.startswith("title"))
    brake = opened(text=text.replace(title, f"title = '''{HOSTILE}'''"))
    expect(brake.page.locator("#title")).to_contain_text("<img src=x onerror=alert(1)>")
    assert brake.page.locator("img[src=x]").count() == 0


def test_it_prints_on_one_page(opened: Open) -> None:
    brake = opened()
    with pymupdf.open(stream=brake.page.pdf(format="A4"), filetype="pdf") as paper:
        assert paper.page_count == 1


def test_a_legend_is_told_without_its_colours(opened: Open) -> None:
    """Each pedal's line is drawn beside its name as its curve is, on paper too."""
    page = opened("three-on-one-shaft").page
    page.emulate_media(media="print")
    style = "items => items.map((each) => getComputedStyle(each)[WHAT])"
    legend = page.locator(".chart").first.locator(".now .swatch")
    strokes = legend.evaluate_all(style.replace("WHAT", "'borderTopStyle'"))
    assert strokes == ["solid", "dashed", "dotted"]
    names = page.locator(".pedals .swatch")
    kept = names.evaluate_all(style.replace("WHAT", "'printColorAdjust'"))
    assert kept == ["exact"] * 3


@pytest.mark.parametrize("kind", ["arm.dxf", "pattern.pdf", "design.toml"])
def test_what_is_taken_away_opens_in_its_reader(opened: Open, kind: str) -> None:
    """The browser itself saves it, under the design's name."""
    brake = opened()
    with (
        brake.page.expect_download() as waiting,
        pytest.raises(Exception, match="Download"),
    ):
        brake.page.goto(f"{brake.server.own}file/{kind}?pedal=brake")
    saved = waiting.value
    assert saved.suggested_filename.startswith("brake-hanging")
    data = Path(saved.path()).read_bytes()
    if kind == "arm.dxf":
        assert audit_faults(data) == []
    elif kind == "pattern.pdf":
        with pymupdf.open(stream=data, filetype="pdf") as paper:
            assert paper.page_count > 0
    else:
        assert brake.file is not None
        assert data == brake.file.read_bytes()


def test_an_editors_change_is_noticed(opened: Open) -> None:
    """And nothing is written over it: the file stays as the editor left it."""
    brake = opened()
    assert brake.file is not None
    other = brake.file.read_text(encoding="utf-8") + "# by an editor\n"
    with brake.page.expect_websocket() as waiting:
        brake.page.reload()
    with waiting.value.expect_event(
        "framereceived", lambda frame: '"kind":"disk"' in str(frame)
    ):
        brake.file.write_text(other, encoding="utf-8", newline="")
    assert brake.file.read_text(encoding="utf-8") == other
