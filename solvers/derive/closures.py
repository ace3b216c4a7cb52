"""Closures of planar linkages, solved from their constraint by SymPy.

Each is one constraint in one unknown. The unknown is solved for by SymPy, the branch
is a symbol of its own (+1 or -1), and derivatives are SymPy's.
"""

from collections.abc import Callable
from functools import lru_cache
from typing import Any

from msgspec import Struct

Expr = Any  # a SymPy expression: SymPy is loaded only when asked


class Derived(Struct, frozen=True, kw_only=True):
    """One closure.

    Attributes
    ----------
    name, says : str
    constraint : Expr
        Zero where the linkage closes; in the inputs and the unknown.
    unknown : Symbol
    inputs : tuple of Symbol
        Lengths in mm, angles in rad, anticlockwise.
    branch : Symbol or None
        +1 or -1: which of two solutions.
    value : Expr
        The unknown, in inputs and branch.
    """

    name: str
    says: str
    constraint: Expr
    unknown: Expr
    inputs: tuple[Expr, ...]
    branch: Expr | None
    value: Expr

    def symbol(self, name: str) -> Expr:
        """Return the input called ``name``."""
        found = {str(symbol): symbol for symbol in self.inputs}
        if name not in found:
            raise KeyError(
                f"{self.name} has no input {name}; it has {', '.join(found)}"
            )
        return found[name]

    def first(self, by: str) -> Expr:
        """Return the first derivative of the unknown by an input."""
        return self.value.diff(self.symbol(by))

    def mixed(self, by: str, then: str) -> Expr:
        """Return the second derivative by two inputs (or twice by one)."""
        return self.value.diff(self.symbol(by), self.symbol(then))

    def implicit(self, by: str) -> Expr:
        """Return the first derivative from the constraint: another road to it."""
        slope = -self.constraint.diff(self.symbol(by))
        return slope / self.constraint.diff(self.unknown)


def slider() -> Derived:
    """A rod of length r from the point (u, w) to the point (e, 0) on a line."""
    import sympy as sp

    e, u, w = sp.symbols("e u w", real=True)
    r = sp.Symbol("r", positive=True)
    s = sp.Symbol("s", real=True)
    constraint = (e - u) ** 2 + w**2 - r**2
    (ahead,) = (k for k in sp.solve(constraint, e) if k.subs({u: 0, w: 0}) == r)
    return Derived(
        name="slider",
        says="a rod's end on a line, from the rod's other end",
        constraint=constraint,
        unknown=e,
        inputs=(u, w, r),
        branch=s,
        value=u + s * (ahead - u),
    )


def swing() -> Derived:
    """An arm c on a pivot at 0, held by a link r to the point (x, z)."""
    import sympy as sp

    psi, x, z = sp.symbols("psi x z", real=True)
    c, r = sp.symbols("c r", positive=True)
    s = sp.Symbol("s", real=True)
    gap = (x - c * sp.cos(psi)) ** 2 + (z - c * sp.sin(psi)) ** 2 - r**2
    return Derived(
        name="swing",
        says="direction of an arm on a pivot, from the far end of the link that holds it",
        constraint=gap,
        unknown=psi,
        inputs=(x, z, c, r),
        branch=s,
        value=_swung(sp, gap, psi, (x, z), s),
    )


def _swung(sp: Any, gap: Expr, psi: Expr, point: tuple[Expr, Expr], s: Expr) -> Expr:
    """Turn the frame onto the point: then only the cosine of what is left stands."""
    x, z = point
    d, left = sp.Symbol("d", positive=True), sp.Symbol("left", real=True)
    turned = gap.subs({x: d, z: 0, psi: left}).expand()
    plain = turned.subs(sp.sin(left) ** 2, 1 - sp.cos(left) ** 2).expand()
    (cosine,) = sp.solve(plain, sp.cos(left))
    return sp.atan2(z, x) + s * sp.acos(cosine).subs(d, sp.sqrt(x**2 + z**2))


def shortened() -> Derived:
    """The same arm, where a line drawn by p has shortened the free link from r.

    The first k of the pull is slack and shortens nothing: valid for p >= k.
    """
    import sympy as sp

    base = swing()
    p, k = sp.symbols("p k", real=True)
    r = base.symbol("r")
    drawn = {r: r - (p - k)}
    return Derived(
        name="shortened",
        says="direction of an arm on a pivot, from the pull of the line that turns it",
        constraint=base.constraint.subs(drawn),
        unknown=base.unknown,
        inputs=(*base.inputs, p, k),
        branch=base.branch,
        value=base.value.subs(drawn),
    )


def drawn() -> Derived:
    """The pull of a line from the point (x, z) to a guide at 0, at rest of length l."""
    import sympy as sp

    p, x, z = sp.symbols("p x z", real=True)
    rest = sp.Symbol("l", positive=True)
    constraint = (p + rest) ** 2 - x**2 - z**2
    (longer,) = (k for k in sp.solve(constraint, p) if k.subs({x: 2 * rest, z: 0}) > 0)
    return Derived(
        name="drawn",
        says="what a straight line to a guide has been drawn",
        constraint=constraint,
        unknown=p,
        inputs=(x, z, rest),
        branch=None,
        value=longer,
    )


def unrolled() -> Derived:
    """The turn of a wheel of radius a that a line drawn by p unrolls, k of it slack."""
    import sympy as sp

    theta, p, k = sp.symbols("theta p k", real=True)
    a = sp.Symbol("a", positive=True)
    constraint = a * theta - (p - k)
    (value,) = sp.solve(constraint, theta)
    return Derived(
        name="unrolled",
        says="turn of a wheel, from the pull of the line on its rim",
        constraint=constraint,
        unknown=theta,
        inputs=(p, k, a),
        branch=None,
        value=value,
    )


CLOSURES: dict[str, Callable[[], Derived]] = {
    "slider": slider,
    "swing": swing,
    "shortened": shortened,
    "drawn": drawn,
    "unrolled": unrolled,
}


@lru_cache
def derive(name: str) -> Derived:
    """Return the closure called ``name``.

    Raises
    ------
    KeyError
        No such closure; the message lists them.
    """
    if name not in CLOSURES:
        raise KeyError(f"no closure {name}; there are {', '.join(CLOSURES)}")
    return CLOSURES[name]()
