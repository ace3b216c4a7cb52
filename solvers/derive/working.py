"""A closed form worked by hand: formula, numbers put in, result, line by line.

Formulas are written as people write them; SymPy reads the very text that is shown, so
that text and result cannot part. Angles go in in rad and are shown in degrees, as a
pocket calculator set to degrees wants them.
"""

import math
import re
from collections.abc import Mapping

from msgspec import Struct


class Step(Struct, frozen=True, kw_only=True):
    """One line before its numbers: ``name`` = ``formula``, in ``unit``."""

    name: str
    what: str
    formula: str
    unit: str


class Working(Struct, frozen=True, kw_only=True):
    """A closed form as steps.

    Attributes
    ----------
    says : str
    inputs : mapping of str to str
        Unit of each number that has to be given: mm, deg (given in rad) or 1.
    steps : tuple of Step
        Each may use inputs and the names of earlier steps.
    closure : str
        The derived closure that the steps work out, or "".
    """

    says: str
    inputs: Mapping[str, str]
    steps: tuple[Step, ...]
    closure: str = ""


class Line(Struct, frozen=True, kw_only=True):
    """One line of a working.

    Attributes
    ----------
    what : str
        "distance along the line".
    formula, with_numbers : str
        ``u = x * cos(a)`` and ``u = 12.5 * cos(30 deg)``.
    result : float
        In ``unit``; not rounded, and worked from unrounded numbers.
    unit : str
        mm, deg, mm/rad, 1 ...
    """

    what: str
    formula: str
    with_numbers: str
    result: float
    unit: str


def _step(name: str, what: str, formula: str, unit: str = "mm") -> Step:
    return Step(name=name, what=what, formula=formula, unit=unit)


WORKINGS: dict[str, Working] = {
    "carried": Working(
        says="a point of a body that has turned about its pivot",
        inputs={"px": "mm", "pz": "mm", "reach": "mm", "angle": "deg", "turn": "deg"},
        steps=(
            _step(
                "x",
                "how far forward the point is now",
                "px + reach * cos(angle + turn)",
            ),
            _step("z", "how high the point is now", "pz + reach * sin(angle + turn)"),
        ),
    ),
    "slider": Working(
        says="a rod's end on a line, from the rod's other end",
        inputs={
            "px": "mm",
            "pz": "mm",
            "x": "mm",
            "z": "mm",
            "sx": "mm",
            "sz": "mm",
            "axis": "deg",
            "rod": "mm",
            "side": "1",
        },
        steps=(
            _step(
                "u",
                "the hole along the line, from where the rod's end began",
                "(x - sx) * cos(axis) + (z - sz) * sin(axis)",
            ),
            _step(
                "w",
                "the hole off the line, to its left",
                "(z - sz) * cos(axis) - (x - sx) * sin(axis)",
            ),
            _step("e", "movement of the rod's end", "u + side * sqrt(rod^2 - w^2)"),
            _step("lean", "the rod against the line", "asin(-side * w / rod)", "deg"),
            _step(
                "du",
                "the hole's speed along the line, for each rad of turn",
                "-(z - pz) * cos(axis) + (x - px) * sin(axis)",
                "mm/rad",
            ),
            _step(
                "dw",
                "the hole's speed off the line",
                "(z - pz) * sin(axis) + (x - px) * cos(axis)",
                "mm/rad",
            ),
            _step("de", "speed of the rod's end", "du + tan(lean) * dw", "mm/rad"),
        ),
        closure="slider",
    ),
    "swing": Working(
        says="an arm on a pivot, held by a link to a given point",
        inputs={
            "x": "mm",
            "z": "mm",
            "qx": "mm",
            "qz": "mm",
            "c": "mm",
            "rod": "mm",
            "side": "1",
        },
        steps=(
            _step("d", "the point from the pivot", "sqrt((x - qx)^2 + (z - qz)^2)"),
            _step(
                "base",
                "direction of the point from the pivot",
                "atan2(z - qz, x - qx)",
                "deg",
            ),
            _step(
                "corner",
                "angle at the pivot, by the cosine rule",
                "acos((d^2 + c^2 - rod^2) / (2 * d * c))",
                "deg",
            ),
            _step("psi", "direction of the arm", "base + side * corner", "deg"),
        ),
        closure="swing",
    ),
    "drawn": Working(
        says="what a straight line to a guide has been drawn",
        inputs={"x": "mm", "z": "mm", "gx": "mm", "gz": "mm", "rest": "mm"},
        steps=(
            _step("l", "the point from the guide", "sqrt((x - gx)^2 + (z - gz)^2)"),
            _step("p", "the pull", "l - rest"),
        ),
        closure="drawn",
    ),
    "shortened": Working(
        says="an arm on a pivot, turned by a line that is drawn",
        inputs={
            "taken": "mm",
            "free": "mm",
            "span": "mm",
            "toward": "deg",
            "c": "mm",
            "side": "1",
        },
        steps=(
            _step("r", "the free line that is left", "free - taken"),
            _step(
                "corner",
                "angle at the pivot, by the cosine rule",
                "acos((span^2 + c^2 - r^2) / (2 * span * c))",
                "deg",
            ),
            _step("psi", "direction of the arm", "toward + side * corner", "deg"),
        ),
        closure="shortened",
    ),
    "unrolled": Working(
        says="a wheel, turned by the line on its rim",
        inputs={"taken": "mm", "a": "mm"},
        steps=(_step("theta", "turn of the wheel", "taken / a", "deg"),),
        closure="unrolled",
    ),
}


def working(name: str, numbers: Mapping[str, float]) -> tuple[Line, ...]:
    """Work a closed form out for people to follow.

    Parameters
    ----------
    name : str
        One of `WORKINGS`.
    numbers : mapping of str to float
        By the names in its ``inputs``: mm, rad, pure.

    Returns
    -------
    tuple of Line
        In order; a line uses the results of those above it.

    Raises
    ------
    KeyError
        No such working.
    ValueError
        A number is missing, not known or not finite (all at once), or the linkage does
        not close with them.
    """
    if name not in WORKINGS:
        raise KeyError(f"no working {name}; there are {', '.join(WORKINGS)}")
    chosen = WORKINGS[name]
    _refuse(chosen, numbers)
    values, units = dict(numbers), dict(chosen.inputs)
    lines = []
    for step in chosen.steps:
        values[step.name], units[step.name] = _value(step, values), step.unit
        lines.append(_line(step, values, units))
    return tuple(lines)


def _refuse(chosen: Working, numbers: Mapping[str, float]) -> None:
    wrong = [f"{k} is missing" for k in chosen.inputs if k not in numbers]
    wrong += [f"{k} is not known" for k in numbers if k not in chosen.inputs]
    wrong += [f"{k} is not finite" for k, v in numbers.items() if not math.isfinite(v)]
    if wrong:
        raise ValueError("; ".join(wrong))


def expression(step: Step) -> object:
    """Return the formula of a step as SymPy reads it."""
    from sympy import Symbol, sympify

    names = {name: Symbol(name, real=True) for name in _names(step.formula)}
    return sympify(step.formula.replace("^", "**"), locals=names)


def _names(formula: str) -> set[str]:
    """Return what is named in a formula and is not a function."""
    return set(re.findall(r"\b[a-z]+\b(?!\()", formula))


def _value(step: Step, values: Mapping[str, float]) -> float:
    """Return a step's number, angles in rad."""
    found = expression(step)
    got = found.subs({s: values[str(s)] for s in found.free_symbols}).evalf(17)  # type: ignore[attr-defined]
    if not (got.is_real and got.is_finite):
        raise ValueError(f"the linkage does not close: {step.name} = {step.formula}")
    return float(got)


def _line(step: Step, values: Mapping[str, float], units: Mapping[str, str]) -> Line:
    def put(match: re.Match[str]) -> str:
        text = _written(values[match[0]], units[match[0]])
        bare = match.string[: match.start()].endswith("(") or match.start() == 0
        power = match.string[match.end() :].startswith("^")
        return f"({text})" if text.startswith("-") and (power or not bare) else text

    names = "|".join(sorted(_names(step.formula), key=len, reverse=True))
    filled = re.sub(rf"\b(?:{names})\b(?!\()", put, step.formula)
    return Line(
        what=step.what,
        formula=f"{step.name} = {step.formula}",
        with_numbers=f"{step.name} = {filled}",
        result=_shown(values[step.name], step.unit),
        unit=step.unit,
    )


def _shown(value: float, unit: str) -> float:
    return math.degrees(value) if unit == "deg" else value


def _written(value: float, unit: str) -> str:
    """Return a number for a formula, without a minus zero."""
    text = f"{round(_shown(value, unit), 6) + 0.0:.10g}"
    return f"{text} deg" if unit == "deg" else text
