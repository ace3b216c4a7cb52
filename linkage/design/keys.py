"""What a table of the design file may hold: one record a key.

A part declares its keys as a tuple of these beside its frozen record; the reader
reads any table from them and knows nothing of the parts themselves.
"""

from enum import Enum

from msgspec import Struct, field

from linkage.units import Measure as Measure


class Form(Enum):
    """What stands to the right of a key's equals sign."""

    NUMBER = "number"  # a quantity: see ``Key.measure``
    POINT = "point"  # any form of a point
    DIRECTION = "direction"  # degrees or words
    TOWARDS = "towards"  # a length and a side: "3 towards front"
    WORD = "word"  # one of ``Key.words``
    TEXT = "text"  # free text
    FLAG = "flag"  # true or false
    NAMES = "names"  # one name or a list of them
    TABLE = "table"  # a table with keys of its own: ``Key.table``


class Key(Struct, frozen=True, kw_only=True, eq=False):
    """One key of a table.

    Attributes
    ----------
    name : str
        As written in the file; also the field of the record it is read into.
    form : Form
        What stands behind it.
    measure : Measure
        For numbers.
    placement : bool
        True where ranges, tolerances and choices are allowed.
    choice_only : bool
        True where a choice is allowed and a range is not (a bore).
    required : bool
        True where the table is no use without it.
    positive : bool
        True where zero and less are faults; ``least`` says otherwise.
    least, most : float or None
        Absurd outside, in internal units.
    usual : pair of float or None
        What shops use, internal units: a slip is read that way only.
    words : tuple of str
        The words that ``Form.WORD`` takes.
    table : tuple of Key
        The keys of ``Form.TABLE``.
    record : type or None
        What the keys of ``table`` are read into; it also takes ``line``.
    says : str
        What it is, for messages and documents ("bore of the cylinder").
    example : str
        A right spelling, for messages (``bore = "3/4 in"``).
    """

    name: str
    form: Form
    measure: Measure = Measure.LENGTH
    placement: bool = False
    choice_only: bool = False
    required: bool = False
    positive: bool = False
    least: float | None = None
    most: float | None = None
    usual: tuple[float, float] | None = None
    words: tuple[str, ...] = ()
    table: tuple["Key", ...] = field(default=())
    record: type | None = None
    says: str = ""
    example: str = ""
