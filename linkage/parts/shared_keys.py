"""Keys that several parts have: one place for their limits and examples."""

from linkage.design.keys import Form, Key, Measure


def pivot_key(kind: str, example: str) -> Key:
    """Return the key of what a part turns on."""
    return Key(
        name="pivot",
        form=Form.POINT,
        required=True,
        says=f"what the {kind} turns on",
        example=f"pivot = {example}",
    )


def turn_key(kind: str) -> Key:
    """Return the key of what a part has between its stops."""
    return Key(
        name="turn",
        form=Form.NUMBER,
        measure=Measure.ANGLE,
        positive=True,
        most=6.3,
        says=f"what the {kind} has between its stops",
        example="turn = 82",
    )


def rod_key(says: str, example: str) -> Key:
    """Return the key of a rod's length."""
    return Key(
        name="rod",
        form=Form.NUMBER,
        placement=True,
        positive=True,
        least=5.0,
        most=3000.0,
        says=says,
        example=f"rod = {example}",
    )


#: The plate or boss of a part that turns.
THICK = Key(
    name="thick",
    form=Form.NUMBER,
    positive=True,
    most=100.0,
    says="the thickness of the part",
    example="thick = 6",
)
#: What may be noted of a cable for whoever makes it.
NOTES = tuple(Key(name=name, form=Form.TEXT) for name in ("name", "thread", "adjusts"))
