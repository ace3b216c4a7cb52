"""One number of a design file, with all that its writer said about it.

Inside: mm, rad, N, MPa, kg, s. A value never knows where it is used.
"""

from typing import Literal

from msgspec import Struct, field

Kind = Literal["fixed", "free", "choice"]


class Value(Struct, frozen=True, kw_only=True):
    """A number as read: fixed, free within a range, or a choice.

    Attributes
    ----------
    path : str
        Where it stands, as the file's path with the pedal's name in front:
        ``brake.pivot.x``, ``brake.train.1.axis``, ``point.shaft.x``.
    nominal : float
        The value to use while nobody says otherwise, in internal units. For a
        free value: ``near``, else the middle of its range; for a choice: the first.
    unit : str
        The unit in which the file speaks of it ("mm", "in", "deg", "N", ...).
    low, high : float or None
        Ends of the range of a free value, both in.
    near : float or None
        Where a free value would like to stay.
    give : float or None
        Outer limit of a tolerance ("+- 0.5"), positive.
    options : tuple of float
        The members of a choice.
    guess : bool
        True for "about ...": used, and listed with what it sways.
    line : int
        The line of the file; 0 for a default.
    text : str
        The spelling in the file ("3/4 in"); in a direction, of the number alone.
    spelt : tuple of str
        The spelling of each member of a choice, with its unit.
    span : tuple of int
        Where it stands in the text of the file: start and end, quotes included.
    """

    path: str = ""
    nominal: float = 0.0
    unit: str = "mm"
    low: float | None = None
    high: float | None = None
    near: float | None = None
    give: float | None = None
    options: tuple[float, ...] = field(default=())
    guess: bool = False
    line: int = 0
    text: str = ""
    spelt: tuple[str, ...] = field(default=())
    span: tuple[int, int] = (0, 0)

    @property
    def kind(self) -> Kind:
        """Return whether the value is fixed, free or a choice."""
        if self.options:
            return "choice"
        return "fixed" if self.low is None else "free"
