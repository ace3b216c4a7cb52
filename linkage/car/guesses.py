"""What stands in for a number that the file leaves out, and how far it may be off.

Every default here is a guess with a range; a `Ledger` hands out numbers and keeps what
was guessed, so that it can be told and tried at both ends of its range.
"""

import math
from typing import Any

from msgspec import Struct

from linkage.design.values import Value
from linkage.places import Places

#: How far a number may be off that the file says "about" of; common practice, no source.
ABOUT = 0.2


class Guess(Struct, frozen=True):
    """A default in internal units, its unit for people, its range, and who says so."""

    nominal: float
    unit: str
    low: float
    high: float
    source: str = "from memory"


_CUSTOM = "common practice, no source"
#: By key, with the kind of brake in front where it matters.
GUESSES: dict[str, Guess] = {
    "grip": Guess(0.9, "1", 0.7, 1.0),
    "tyre": Guess(300.0, "mm", 270.0, 330.0, _CUSTOM),
    "fluid": Guess(80e3, "cc", 40e3, 150e3, _CUSTOM),
    "bulk": Guess(1800.0, "GPa", 1500.0, 2000.0),
    "air": Guess(0.0, "cc", 0.0, 500.0, _CUSTOM),
    "friction": Guess(0.38, "1", 0.30, 0.45),
    "disc clearance": Guess(0.12, "mm", 0.05, 0.25),
    "drum clearance": Guess(1.5, "mm", 0.8, 2.5),
    "disc squash": Guess(100.0, "cc/MPa", 43.0, 143.0),
    "drum squash": Guess(50.0, "cc/MPa", 20.0, 100.0, _CUSTOM),
    "leading": Guess(1.7, "1", 1.3, 2.2),
    "trailing": Guess(0.55, "1", 0.45, 0.65),
    "shoe_springs": Guess(0.4, "MPa", 0.34, 0.69),
    "bore": Guess(3.175, "mm", 3.0, 5.0, _CUSTOM),
    "cut_off": Guess(1.3, "mm", 0.8, 1.8),
    "gain": Guess(4.0, "1", 2.5, 6.0),
    "effective": Guess(88.0, "%", 80.0, 92.0),
    "threshold": Guess(80.0, "N", 40.0, 120.0),
    "jump_in": Guess(300.0, "N", 200.0, 500.0),
    "dead_travel": Guess(1.5, "mm", 1.0, 2.5),
    "gap": Guess(0.4, "mm", 0.0, 0.5),
    "return_spring": Guess(100.0, "N", 50.0, 150.0),
    "tilt": Guess(math.radians(12.0), "deg", math.radians(10.0), math.radians(14.0)),
    "front_longer": Guess(0.0, "mm", 0.0, 10.0, _CUSTOM),
}


class Doubt(Struct, frozen=True, kw_only=True):
    """A guess that something rests on.

    Attributes
    ----------
    path : str
        Of the value in the file; of the key that is missing.
    nominal, low, high : float
        Internal units.
    unit : str
        For people.
    text : str
        As the file says it ("about 0.9"); empty for a default.
    source : str
        Of a default.
    """

    path: str
    nominal: float
    low: float
    high: float
    unit: str
    text: str = ""
    source: str = ""


class Ledger:
    """Hands out numbers of a design and keeps which were guesses.

    Parameters
    ----------
    places : Places
        With numbers to use in place of the file's, by path.
    """

    def __init__(self, places: Places) -> None:
        self.places = places
        self.doubts: dict[str, Doubt] = {}

    def given(self, value: Value) -> float:
        """Return a number that the file holds."""
        if value.guess:
            ends = (1.0 - ABOUT) * value.nominal, (1.0 + ABOUT) * value.nominal
            self._note(value, min(ends), max(ends), text=value.text)
        return float(self.places.number(value))  # type: ignore[arg-type]

    def number(self, owner: Any, path: str, key: str, guess: str = "") -> float:
        """Return the number under a key of a record; its guess where it has none.

        Parameters
        ----------
        owner : Struct
        path : str
            Of the record.
        guess : str
            The name of the guess, where it is not the key.
        """
        value = getattr(owner, key)
        if value is not None:
            return self.given(value)
        return self.stand_in(f"{path}.{key}", GUESSES[guess or key])

    def stand_in(self, path: str, guess: Guess) -> float:
        """Return the number of a guess for what the file leaves out."""
        value = Value(path=path, nominal=guess.nominal, unit=guess.unit, guess=True)
        self._note(value, guess.low, guess.high, source=guess.source)
        return float(self.places.number(value))  # type: ignore[arg-type]

    def _note(
        self, value: Value, low: float, high: float, text: str = "", source: str = ""
    ) -> None:
        self.doubts[value.path] = Doubt(
            path=value.path,
            nominal=value.nominal,
            low=low,
            high=high,
            unit=value.unit,
            text=text,
            source=source,
        )


def known(ledger: Ledger, value: Value | None, otherwise: float) -> float:
    """Return a number that may be left out without a guess."""
    return otherwise if value is None else ledger.given(value)
