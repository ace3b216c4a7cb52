"""The JSON document of a budget, against what the README says of it."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from linkage.car.asking import ask
from linkage.car.document import answer_document
from tests.linkage.car.test_rig import BOOSTED, rig

README = Path(__file__).parents[3] / "README.md"


def fields(document: dict[str, Any]) -> Iterator[str]:
    """Every key of it and of its rows; names of circuits are the file's own."""
    for key, put in document.items():
        yield key
        if key in ("pressure", "wheel_pressure"):
            continue
        for each in put if isinstance(put, list) else [put]:
            if isinstance(each, dict):
                yield from fields(each)


def test_the_readme_names_every_field() -> None:
    text = BOOSTED.replace("friction = 0.4", 'friction = "about 0.4"')
    document = answer_document(ask(rig(text), "foot", 150.0))
    assert document["locks"]
    assert document["guesses"]
    _, _, rest = README.read_text(encoding="utf-8").partition("**A budget in JSON")
    told = set(re.findall(r"`(\w+)`", rest.partition("\n\n")[0]))
    assert set(fields(document)) - told == set()
