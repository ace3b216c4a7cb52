"""How a sheet is measured in the unit of its design: ticks, bar, numbers of travel."""

from collections.abc import Mapping
from types import MappingProxyType

from msgspec import Struct

from linkage.units import inches


class Ruler(Struct, frozen=True, kw_only=True, eq=False):
    """The marks of one system of units.

    Attributes
    ----------
    unit : float
        One of its units, mm.
    name : str
        As it stands behind a number.
    tick : float
        From tick to tick on the pad's arc, mm.
    tick_text : str
    long : int
        Each so many ticks one is long and has its number.
    bar : float
        Length of the bar that tells the scale, mm of the car.
    bar_text : str
    digits : int
        Decimals of a travel on a curve.
    """

    unit: float
    name: str
    tick: float
    tick_text: str
    long: int
    bar: float
    bar_text: str
    digits: int

    def travel(self, mm: float) -> str:
        """Return a travel as it stands beside the arc: "149", "5 7/8"."""
        if self.name == "in":
            return inches(mm, 16).removesuffix(" in")
        return self.along(mm)

    def along(self, mm: float) -> str:
        """Return a travel as it stands at a curve, whose axis has decimals."""
        return f"{mm / self.unit:.{self.digits}f}" if mm else "0"

    def is_long(self, mm: float) -> bool:
        """Tell whether the tick at a travel is a long one."""
        return round(mm / self.tick) % self.long == 0

    def number(self, mm: float) -> str:
        """Return the number of a long tick: "50", "2"."""
        return f"{mm / self.unit:.0f}"


RULERS: Mapping[str, Ruler] = MappingProxyType(
    {
        "mm": Ruler(
            unit=1.0,
            name="mm",
            tick=10.0,
            tick_text="10 mm",
            long=5,
            bar=100.0,
            bar_text="100 mm",
            digits=0,
        ),
        "in": Ruler(
            unit=25.4,
            name="in",
            tick=12.7,
            tick_text="1/2 in",
            long=4,
            bar=101.6,
            bar_text="4 in",
            digits=1,
        ),
    }
)
