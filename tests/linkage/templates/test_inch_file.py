"""A starting file in inches is the same pedal, as a tape in inches has it."""

import re

import pytest
from msgspec.structs import replace

from linkage.loading import load_text
from linkage.sweeping import sweep
from linkage.templates import TEMPLATES, Template
from linkage.templates.inch_file import in_inches
from tests.linkage.templates.test_templates import RATIO

INCH = 25.4
KINDS = pytest.mark.parametrize(
    "template",
    [replace(template, units="in") for template in TEMPLATES.values()],
    ids=list(TEMPLATES),
)


@KINDS
def test_every_length_is_the_nearest_sixteenth(template: Template) -> None:
    """Half of one out at the most; a small gap by a quarter of itself at the most."""
    metric = load_text(TEMPLATES[template.kind].text)
    inch = load_text(template.text)
    assert (metric.units, inch.units) == ("mm", "in")
    assert list(inch.values) == list(metric.values)
    turned = 0
    for path, value in inch.values.items():
        was = metric.values[path]
        if value.unit != "in" or was.unit == "in":
            assert value.nominal == was.nominal
            continue
        turned += 1
        off = abs(value.nominal - was.nominal)
        assert off <= INCH / 32.0 + 1e-9
        assert off <= 0.25 * abs(was.nominal) + 1e-9
        sixteenth = abs(value.nominal * 16.0 / INCH % 1.0) < 1e-9
        assert sixteenth or value.nominal < INCH / 16.0
    assert turned >= len(template.asks)


@KINDS
def test_it_is_a_pedal_of_the_trade(template: Template) -> None:
    """Common practice, no source; no piston is past its end at full pad."""
    swept = sweep(load_text(template.text), template.pedal)
    low, high = RATIO[template.kind]
    known = swept["ratio"][swept["ratio"] > 0.0]
    assert low <= known.min()
    assert known.max() <= high
    assert swept.limit is None
    assert not [end for end in swept.ends if end.what == "cylinder full"]


@KINDS
def test_words_and_comments_stay(template: Template) -> None:
    """Only numbers differ; examples in the head are in inches, each as it may be read."""
    metric, inch = TEMPLATES[template.kind].text, template.text
    assert max(map(len, inch.split("\n"))) <= 105
    pairs = zip(metric.split("\n")[5:], inch.split("\n")[5:], strict=True)
    for old, new in pairs:
        said, told = old.partition(" # ")[2], new.partition(" # ")[2]
        assert said == told
    for example in re.findall(r'"(.+?)"', inch.split("\n\n")[0]):
        text = re.sub(r"(?m)^(travel +=) [^ ]+( [^ ]+)?", rf'\1 "{example}"', inch)
        assert load_text(text).values[f"{template.pedal}.travel"].text == example


def test_what_has_a_unit_of_its_own_stays() -> None:
    text = TEMPLATES["hanging-brake"].text.replace("travel = 153", 'travel = "15.3 cm"')
    assert 'travel = "15.3 cm"' in in_inches(text)
    assert 'stroke    = "1.1 in"' in in_inches(text)
    assert '"forward, 2 deg up"' in in_inches(text)
