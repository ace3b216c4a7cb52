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
    lines: list[str], name: str, what: str, pivot: complex, a: complex, b: complex
) -> float:
    """Say how far a pivot is from the line through two points; ``name`` it."""
    way, arm = (b - a) / abs(b - a), a - pivot
    size = abs((np.conj(way) * arm).imag)
    lines += told(
        f"perpendicular from {what} to the line of pull or push",
        f"{name} = |ux * tz - uz * tx|",
        f"|{put(way.real)} * {put(arm.imag)} - {put(way.imag)} * {put(arm.real)}|",
        float(size),
        "mm",
    )
    return float(size)


def turn_of(lines: list[str], now: float, rest: float) -> float:
    """Say by how much a lever has turned, rad."""
    turn = math.remainder(now - rest, 2.0 * math.pi)
    rounds = round((turn - now + rest) / (2.0 * math.pi))
    whole = f" {'+' if rounds > 0 else '-'} {abs(rounds) * 360}" if rounds else ""
    lines += told(
        "turn of the lever from rest",
        f"swing = psi - rested{whole}",
        f"{put(math.degrees(now))} - {put(math.degrees(rest))}{whole}",
        math.degrees(turn),
        "deg",
    )
    return turn


def short(number: float, digits: int = 6) -> str:
    """Return a number without idle zeros."""
    return trim(number, digits)


def put(number: float) -> str:
    """Return a number as it is put into a formula: below 0 in brackets."""
    text = short(number)
    return f"({text})" if text.startswith("-") else text


def place_of(z: object) -> complex:
    """Return a lone place as a plain number."""
    return complex(np.ravel(np.asarray(value(z)))[0])


def plain(x: object) -> float:
    """Return a lone number, its derivatives left out."""
    return float(np.ravel(np.asarray(value(x)))[0])
