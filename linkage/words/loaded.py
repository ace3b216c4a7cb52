"""Which guesses move what is said of springs, friction and the leg."""

from linkage.design.records import Design
from linkage.design.values import Value
from linkage.faults import DesignError
from linkage.sweeping import standing
from linkage.words.burden import burden_lines
from linkage.words.figures import read_again

#: A guess is tried this share more and less.
_SHARE = 0.1


def loaded_guesses(design: Design, pedal: str) -> frozenset[str]:
    """Return the paths of the guesses that the loads of a pedal rest on."""
    base = _said(design, pedal)
    if not base:
        return frozenset()
    return frozenset(
        each.path for each in design.guesses if _moves(design, pedal, each, base)
    )


def _said(design: Design, pedal: str) -> list[str]:
    owner = design.pedals[pedal]
    if not (owner.springs or owner.friction or design.driver.hip):
        return []
    return list(burden_lines(design, standing(design, pedal)))


def _moves(design: Design, pedal: str, guess: Value, base: list[str]) -> bool:
    for other in read_again(design, guess, _SHARE * abs(guess.nominal)):
        try:
            if _said(other, pedal) != base:
                return True
        except DesignError:
            continue
    return False
