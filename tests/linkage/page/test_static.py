"""The page's own files: light, all there, and with no way for a text to become code."""

import re
from pathlib import Path

import pytest

from linkage.page.server import bare, page, statics

ROOT = Path(__file__).parents[3]
STATIC = ROOT / "linkage" / "page" / "static"
SCRIPTS = sorted(STATIC.glob("*.js"))
STYLES = sorted(STATIC.glob("*.css"))
#: Ways to make markup or code of a text, and ways out of the machine.
FORBIDDEN = re.compile(
    r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|DOMParser|srcdoc"
    r"|createContextualFragment|\beval\s*\(|new Function|javascript:"
    r"|setAttribute\(\s*[\"'`](?:style|on)|\bimport\s*\(|https?://(?!www\.w3\.org/)"
)
#: Bytes of scripts, styles and page together, as they are sent.
HEAVIEST = 150_000


@pytest.mark.parametrize("file", SCRIPTS, ids=lambda file: file.name)
def test_a_script_makes_no_code_of_a_text(file: Path) -> None:
    assert FORBIDDEN.findall(file.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize(
    "line",
    [
        *(
            "a.innerHTML = b",
            "eval(b)",
            'a.setAttribute("style", b)',
            "new Function(b)",
        ),
        *('fetch("https://example.org")', 'import("./x.js")', "document.write(b)"),
    ],
)
def test_a_way_to_do_so_is_seen(line: str) -> None:
    assert FORBIDDEN.search(line)


def test_the_page_holds_no_code_and_no_style() -> None:
    text = (STATIC / "index.html").read_text(encoding="utf-8")
    assert re.findall(r"\s(?:style|on\w+)\s*=", text) == []
    scripts = re.findall(r"<script([^>]*)>(.*?)</script>", text, re.DOTALL)
    assert len(scripts) == 2
    assert all(inside == "" for _, inside in scripts)


@pytest.mark.parametrize("file", SCRIPTS, ids=lambda file: file.name)
def test_a_script_imports_what_is_there(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    names = re.findall(r'from "([^"]+)"', text)
    assert [name for name in names if not (STATIC / name).is_file()] == []


def test_every_script_is_used() -> None:
    seen, todo = set(), ["app.js"]
    while todo:
        name = todo.pop()
        if name not in seen:
            seen.add(name)
            text = (STATIC / name).read_text(encoding="utf-8")
            todo += re.findall(r'from "\./([^"]+)"', text)
    assert seen == {file.name for file in SCRIPTS}


@pytest.mark.parametrize("file", SCRIPTS, ids=lambda file: file.name)
def test_a_script_is_sent_whole_but_for_its_comments(file: Path) -> None:
    """Line for line, so that a browser names the right one."""
    lines = file.read_text(encoding="utf-8").splitlines()
    sent = statics()[file.name][0].decode().splitlines()
    assert len(sent) == len(lines)
    for line, left in zip(lines, sent, strict=True):
        comment = line.lstrip().startswith(("/*", "*", "//"))
        assert left == ("" if comment else line.lstrip())
        assert line.count("`") % 2 == 0  # no text goes on over lines


def test_the_page_is_light() -> None:
    """All that a browser loads, as it is sent."""
    sent = sum(len(data) for data, _ in statics().values())
    assert sent + len(page("").encode()) <= HEAVIEST


@pytest.mark.parametrize("file", STYLES, ids=lambda file: file.name)
def test_a_style_is_sent_whole_but_for_comments_and_spaces(file: Path) -> None:
    """No space is lost that parts two words, and none within quotes."""
    text = bare(file.read_text(encoding="utf-8"))
    sent = statics()[file.name][0].decode()
    assert re.sub(r"\s", "", sent) == re.sub(r"\s", "", text)
    assert re.findall(r'"[^"]*"', sent) == re.findall(r'"[^"]*"', text)
    pairs = r"[\w)%\]*] +[\w.#(\[:*&-]"
    assert len(re.findall(pairs, sent)) == len(re.findall(pairs, text))
