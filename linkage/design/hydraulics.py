"""What a cylinder says of its fluid: keys that no motion knows, and their rules."""

from collections.abc import Iterator
from typing import Protocol

from linkage.design.boosters import KEYS as BOOSTER_KEYS
from linkage.design.brake_records import Booster
from linkage.design.keys import Form, Key
from linkage.design.values import Value
from linkage.units import Measure

HYDRAULIC = (
    Key(
        name="circuits",
        form=Form.NAMES,
        says="the circuits that it fills, nearer the pedal first",
        example='circuits = ["front", "rear"]',
    ),
    Key(
        name="cut_off",
        form=Form.NUMBER,
        least=0.0,
        most=10.0,
        says="what its piston moves before the port is shut",
        example="cut_off = 1.3",
    ),
    Key(
        name="first_stroke",
        form=Form.NUMBER,
        positive=True,
        most=200.0,
        says="what a tandem's chamber nearer the pedal can close up by",
        example="first_stroke = 18",
    ),
    Key(
        name="second_bore",
        form=Form.NUMBER,
        positive=True,
        least=5.0,
        most=80.0,
        says="the bore of a stepped tandem's second piston",
        example='second_bore = "3/4 in"',
    ),
    Key(
        name="cylinder_spring",
        form=Form.NUMBER,
        measure=Measure.FORCE,
        least=0.0,
        most=1000.0,
        says="what the springs in the cylinder hold back",
        example='cylinder_spring = "60 N"',
    ),
    Key(
        name="mount",
        form=Form.NUMBER,
        measure=Measure.RATE,
        positive=True,
        most=1e7,
        says="the stiffness of what the cylinder is bolted to",
        example='mount = "4000 N/mm"',
    ),
    Key(
        name="booster",
        form=Form.TABLE,
        table=BOOSTER_KEYS,
        record=Booster,
        says="the booster that the cylinder is bolted to",
        example="[pedal.brake.train.booster]",
    ),
)

_OWN = tuple(key.name for key in HYDRAULIC)


def is_hydraulic(path: str) -> bool:
    """Return True for a number of the fluid or the car: no motion, no rod rests on it.

    >>> is_hydraulic("circuit.front.air"), is_hydraulic("brake.train.1.booster.gain")
    (True, True)
    >>> is_hydraulic("brake.train.1.bore")
    False
    """
    words = path.split(".")
    if words[0] in ("vehicle", "circuit"):
        return True
    return len(words) > 3 and words[1] == "train" and words[3] in _OWN


class Hydraulic(Protocol):
    """A part with such keys."""

    @property
    def circuits(self) -> tuple[str, ...] | None: ...  # noqa: D102
    @property
    def bore(self) -> Value | None: ...  # noqa: D102
    @property
    def stroke(self) -> Value | None: ...  # noqa: D102
    @property
    def first_stroke(self) -> Value | None: ...  # noqa: D102
    @property
    def second_bore(self) -> Value | None: ...  # noqa: D102


def tandem_rules(part: Hydraulic) -> Iterator[tuple[str, str, str]]:
    """Yield (key, wrong, right) for what is amiss with a cylinder's circuits."""
    circuits = part.circuits or ()
    if len(circuits) > 2 or len(set(circuits)) < len(circuits):
        wrong = "a cylinder fills one circuit, or a tandem two that differ."
        yield "circuits", wrong, 'Write circuits = ["front", "rear"].'
    for key in ("first_stroke", "second_bore"):
        if getattr(part, key) is not None and len(circuits) < 2:
            right = 'Write circuits = ["front", "rear"], nearer the pedal first.'
            yield key, f"{key} belongs to a tandem.", right
    first, whole = part.first_stroke, part.stroke
    if first is not None and whole is not None and first.nominal >= whole.nominal:
        wrong = "it leaves nothing of the stroke for the second piston."
        yield "first_stroke", wrong, "Give what its own chamber can close up by."
    small, large = part.second_bore, part.bore
    if small is None or large is None:
        return
    if small.nominal > min(large.options or (large.nominal,)):
        wrong = "the second piston of a stepped cylinder is the smaller one."
        yield "second_bore", wrong, "bore is that of the piston at the rod."
