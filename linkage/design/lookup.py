"""Which point a word of the file names, seen from where the word stands."""

from msgspec import Struct

from linkage.design.reading import Node, Reading, shown

#: After so many faults a name is no longer held against all others.
_PATIENCE = 40


class Where(Struct, frozen=True):
    """Whose point it is: names are looked up from here.

    Attributes
    ----------
    pedal : str
        Empty for a point of the car.
    part : int or str
        Counted from 1, or behind a bar "1.front.1"; 0 for a point of the pedal itself.
    driven : bool
        True for the input of a part, which may be given by a side.
    also : tuple of str
        Keys that the reader of the table takes care of (``thick``).
    """

    pedal: str = ""
    part: int | str = 0
    driven: bool = False
    also: tuple[str, ...] = ()


def find(reading: Reading, node: Node, where: Where) -> str | None:
    """Return the canonical name of a point that the file names."""
    if node.broken:
        return None
    if not isinstance(node.raw, str):
        wrong = f"{shown(node.raw)} stands where the name of a point belongs."
        reading.fault(node.at, wrong, 'Write "pivot", say.')
        return None
    name = reading.names.find(node.raw, where.pedal, where.part)
    if name is None:
        if reading.told > _PATIENCE:
            wrong = f"there is no point {shown(node.raw)} here."
            reading.fault(node.at, wrong, "See the first of these faults.")
            return None
        unknown = reading.names.unknown(node.raw, where.pedal, where.part)
        meant = reading.names.place(node.raw, where.pedal, where.part)
        reading.hanging(node.at, meant, *unknown)
    return name
