"""``[pedal.NAME.train.booster]``: the keys of a booster, and what does not go together."""

from collections.abc import Iterator

from linkage.design.brake_records import Booster
from linkage.design.keys import Form, Key
from linkage.units import ATMOSPHERE, Measure


def _force(name: str, most: float, says: str, example: str) -> Key:
    return Key(
        name=name,
        form=Form.NUMBER,
        measure=Measure.FORCE,
        least=0.0,
        most=most,
        says=says,
        example=f'{name} = "{example}"',
    )


def _room(name: str, says: str, example: str) -> Key:
    return Key(
        name=name,
        form=Form.NUMBER,
        measure=Measure.VOLUME,
        positive=True,
        most=2e7,
        says=says,
        example=f'{name} = "{example}"',
    )


KEYS = (
    Key(
        name="gain",
        form=Form.NUMBER,
        measure=Measure.PURE,
        least=1.05,
        most=20.0,
        says="newtons out for each newton in",
        example="gain = 4",
    ),
    Key(
        name="diaphragm",
        form=Form.NUMBER,
        positive=True,
        least=20.0,
        most=400.0,
        says="the diameter of the diaphragm",
        example='diaphragm = "8 in"',
    ),
    Key(
        name="diaphragms",
        form=Form.NUMBER,
        measure=Measure.PURE,
        positive=True,
        most=3.0,
        says="how many diaphragms it has, one behind the other",
        example="diaphragms = 2",
    ),
    Key(
        name="effective",
        form=Form.NUMBER,
        measure=Measure.PERCENT,
        positive=True,
        most=100.0,
        says="the share of the diaphragm that works",
        example='effective = "88 %"',
    ),
    Key(
        name="vacuum",
        form=Form.NUMBER,
        measure=Measure.PRESSURE,
        positive=True,
        most=float(ATMOSPHERE),
        says="the engine's vacuum",
        example='vacuum = "20 inHg"',
    ),
    Key(
        name="assist",
        form=Form.NUMBER,
        measure=Measure.PRESSURE,
        positive=True,
        most=25.0,
        says="the pressure that works on the diaphragm in place of a vacuum",
        example='assist = "6 bar"',
    ),
    _force("threshold", 1000.0, "the input at which it begins to help", "80 N"),
    _force("jump_in", 3000.0, "the output that it then has at once", "300 N"),
    Key(
        name="dead_travel",
        form=Form.NUMBER,
        least=0.0,
        most=20.0,
        says="what its input moves before the valve opens",
        example="dead_travel = 1.5",
    ),
    Key(
        name="gap",
        form=Form.NUMBER,
        least=0.0,
        most=10.0,
        says="the gap from its output rod to the piston",
        example="gap = 0.4",
    ),
    _force("return_spring", 1000.0, "what its spring and valve hold back", "100 N"),
    _room("front_room", "the room ahead of the diaphragm at rest", "2500 cc"),
    _room("rear_room", "the room behind the diaphragm at rest", "200 cc"),
)


def booster_rules(booster: Booster | None) -> Iterator[tuple[str, str]]:
    """Yield (wrong, right) for what does not go together; nothing without one."""
    if booster is None:
        return
    driven = [k for k in ("vacuum", "assist") if getattr(booster, k) is not None]
    if not driven:
        wrong = "a booster without vacuum helps nobody: nothing says what drives it."
        yield wrong, 'Write vacuum = "20 inHg", or assist = "6 bar" for another kind.'
    elif len(driven) > 1:
        wrong = "vacuum and assist both say what drives the booster."
        yield wrong, "Keep the one that it has."
    if booster.diaphragm is None:
        yield "nothing says how large its diaphragm is.", 'Write diaphragm = "8 in".'
    count = booster.diaphragms
    if count is not None and count.nominal % 1.0:
        yield f"{count.text} is no whole number of diaphragms.", "Write diaphragms = 2."
