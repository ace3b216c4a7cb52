"""Lines of a working: what it is, its formula, the numbers put in and the result."""

import math

import numpy as np

from linkage.units import trim
from solvers.derive.working import Line
from solvers.jet import value


def lines_of(worked: tuple[Line, ...]) -> list[str]:
    """Return the lines of a closed form that was worked."""
    said: list[str] = []
    for line in worked:
        formula = line.formula
        numbers = line.with_numbers.split("=", 1)[-1].strip()
        said += told(line.what, formula, numbers, line.result, line.unit)
    return said


def told(what: str, formula: str, numbers: str, result: float, unit: str) -> list[str]:
    """Return the lines of one result."""
    shown = f"{short(result)} {unit}".strip()
    return [f"{what}", f"  {formula}", f"  = {numbers} = {shown}"]


def perpendicular(
    lines: list[str], what: str, pivot: complex, a: complex, b: complex
) -> float:
    """Say how far a pivot is from the line through two points."""
    way, arm = (b - a) / abs(b - a), a - pivot
    size = abs((np.conj(way) * arm).imag)
    lines += told(
        f"perpendicular from {what} to the line of pull or push",
        "p = |ux * (z - pz) - uz * (x - px)|, u along the line",
        f"|{short(way.real)} * {short(arm.imag)} - {short(way.imag)} * {short(arm.real)}|",
        float(size),
        "mm",
    )
    return float(size)


def turn_of(lines: list[str], now: float, rest: float) -> float:
    """Say by how much a lever has turned, rad."""
    turn = math.remainder(now - rest, 2.0 * math.pi)
    lines += told(
        "turn of the lever from rest",
        "turn = psi - psi at rest",
        f"{short(math.degrees(now))} - {short(math.degrees(rest))}",
        math.degrees(turn),
        "deg",
    )
    return turn


def short(number: float, digits: int = 6) -> str:
    """Return a number without idle zeros."""
    return trim(number, digits)


def place_of(z: object) -> complex:
    """Return a lone place as a plain number."""
    return complex(np.ravel(np.asarray(value(z)))[0])


def plain(x: object) -> float:
    """Return a lone number, its derivatives left out."""
    return float(np.ravel(np.asarray(value(x)))[0])
