"""What stands still round the pedals, and the shoe: records of plain numbers.

Outlines are rows of x, z and bulge, mm: closed by nature, and anticlockwise where they
hold an inside; a line without inside runs there and back.
"""

from msgspec import Struct

from linkage.design.values import Value

Outline = tuple[tuple[float, float, float], ...]


class Fixed(Struct, frozen=True, kw_only=True):
    """One fixed thing of the footwell: ``[[footwell.fixed]]``.

    Attributes
    ----------
    name : str
        As the builder calls it.
    outlines : tuple of Outline
        All of it that was given or traced.
    across : pair of float or None
        From and to across the car, mm, positive to the driver's right; None where it
        reaches all across.
    """

    name: str
    outlines: tuple[Outline, ...]
    across: tuple[float, float] | None = None
    line: int = 0


class Shoe(Struct, frozen=True, kw_only=True):
    """``driver.shoe``: the shoe to allow for; what is left out is a guess, mm.

    Attributes
    ----------
    length, width : Value
        Heel to toe, and across the ball.
    sole, height : Value
        Thickness under the ball; from under the sole to over the toes.
    """

    length: Value
    width: Value
    sole: Value
    height: Value
    line: int = 0
