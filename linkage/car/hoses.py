"""How much brake hoses swell: the most that 49 CFR 571.106 allows, and braided ones.

Table I of the rule is from memory (its 2900 psi column is left out: not remembered). A
hose on a car swells less; a measured figure goes before any of these.
"""

from typing import Literal

from linkage.units import BY_NAME
from solvers.monotone import Broken

Kind = Literal["regular", "low", "braided"]
_PSI, _PER_FOOT = float(BY_NAME["psi"].factor), float(BY_NAME["cc/ft"].factor)
#: By the greatest bore, mm: cc/ft at 1000 and at 1500 psi. FMVSS 106 Table I, from
#: memory: up to 1/8 in (3 mm); over that up to 3/16 in (5 mm); over that.
LIMITS: dict[str, tuple[tuple[float, tuple[float, float]], ...]] = {
    "regular": ((3.175, (0.66, 0.79)), (5.0, (0.86, 1.02)), (99.0, (1.04, 1.30))),
    "low": ((3.175, (0.33, 0.42)), (5.0, (0.55, 0.72)), (99.0, (0.82, 1.17))),
}
#: MPa: 1000 psi, at which hoses are compared.
REFERENCE = 1000.0 * _PSI
#: Braided steel over PTFE, cc/ft at 1000 psi: least, usual, most (from memory).
BRAIDED = (0.1, 0.15, 0.2)
#: The least that a rubber hose swells by, as a share of what the rule allows it;
#: common practice, no source.
LEAST = 0.4


def swell_of(kind: Kind, bore: float) -> Broken:
    """Return what each mm of a hose swells by, mm3 at MPa.

    Parameters
    ----------
    kind : {"regular", "low", "braided"}
        ``low`` is what the rule calls low expansion.
    bore : float
        mm; of no account for a braided one.

    Raises
    ------
    ValueError
        A bore beyond the table.
    """
    if kind == "braided":
        return stated_swell(BRAIDED[1] * _PER_FOOT, REFERENCE)
    for most, row in LIMITS[kind]:
        if bore <= most:
            y = (row[0] * _PER_FOOT, row[1] * _PER_FOOT)
            return Broken(x=(REFERENCE, 1.5 * REFERENCE), y=y)
    raise ValueError(f"a hose of {bore:g} mm bore is none; the table ends at 99 mm")


def swell_range(kind: Kind | None, swell: Broken) -> tuple[float, float, str]:
    """Return how far a swell taken from here may be off: (least, most, who says so).

    Parameters
    ----------
    kind : {"regular", "low", "braided"} or None
        None where nothing says which it is: from a braided one up.
    swell : Broken
        What was taken: of `swell_of`.

    Returns
    -------
    float, float, str
        mm3 for each mm of hose at `REFERENCE`.
    """
    if kind == "braided":
        return BRAIDED[0] * _PER_FOOT, BRAIDED[2] * _PER_FOOT, "from memory"
    most = float(swell.at(REFERENCE))
    if kind is None:
        return BRAIDED[1] * _PER_FOOT, most, "braided to regular rubber, from memory"
    return LEAST * most, most, "up to what FMVSS 106 allows, from memory"


def stated_swell(swell: float, at: float) -> Broken:
    """Return a hose that swells by so much a length (cc/m) at a pressure, MPa."""
    return Broken(x=(at,), y=(swell,))
