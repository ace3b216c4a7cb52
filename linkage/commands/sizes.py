"""The one size that a command is asked about, read from its options."""

from collections.abc import Mapping
from typing import TypeVar

from linkage.faults import DesignError, Fault
from linkage.units import Measure

Name = TypeVar("Name", bound=str)


def stated_size(
    file: str, given: Mapping[str, str | None], measures: Mapping[Name, Measure]
) -> tuple[Name, float] | None:
    """Return the option that was given, with its size in internal units.

    Parameters
    ----------
    file : str
        For messages.
    given : mapping
        What was typed, by option; None where it was not given.
    measures : mapping
        What each option measures.

    Returns
    -------
    tuple or None
        None where none of them was given.

    Raises
    ------
    DesignError
        Several were given, or one that is no size from 0 up.
    """
    from linkage.design.grammar import read_number
    from linkage.design.terms import Misread

    asked = [name for name in measures if given[name] is not None]
    if not asked:
        return None
    if len(asked) > 1:
        wrong = f"says what is stated, and so does --{asked[0]}."
        raise _refused(file, asked[1], wrong, "Give one of them.")
    name = asked[0]
    try:
        size = read_number(given[name] or "", measures[name])
    except Misread as misread:
        raise _refused(file, name, misread.wrong, misread.right) from None
    if size.kind != "fixed" or size.give is not None or size.nominal < 0.0:
        wrong = f'"{size.text}" is not one size from 0 up.'
        raise _refused(file, name, wrong, "Write one number with its unit.")
    return name, size.nominal


def _refused(file: str, name: str, wrong: str, right: str) -> DesignError:
    return DesignError([Fault(file=file, key=f"--{name}", wrong=wrong, right=right)])
