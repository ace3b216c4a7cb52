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
#: Braided steel over PTFE: 0.1 to 0.2 cc/ft at 1000 psi (from memory).
BRAIDED = 0.15


def swell_of(kind: Kind, bore: float) -> Broken:
    """Return what each mm of a hose swells by, mm3 at MPa.

    Parameters
    ----------
    kind : {"regular", "low", "braided"}
        ``low`` is what the rule calls low expansion.
    bore : float
        mm.
    """
    if kind == "braided":
        return stated_swell(BRAIDED * _PER_FOOT, 1000.0 * _PSI)
    row = next(row for most, row in LIMITS[kind] if bore <= most)
    return Broken(
        x=(1000.0 * _PSI, 1500.0 * _PSI), y=(row[0] * _PER_FOOT, row[1] * _PER_FOOT)
    )


def stated_swell(swell: float, at: float) -> Broken:
    """Return a hose that swells by so much a length (cc/m) at a pressure, MPa."""
    return Broken(x=(at,), y=(swell,))
