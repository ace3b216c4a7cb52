"""The compiled loops of `limit.c`, called on the arrays of a pedal at rest."""

import ctypes
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from linkage.motion.rest import PedalRest
from linkage.parts.cylinder import CylinderRest
from linkage.parts.lever import LeverRest
from solvers.jet import value

SOURCE = Path(__file__).with_name("limit.c")
FASTEST = ("-O3", "-march=native", "-ffast-math")
PLAIN = ("-O3",)
Array = NDArray[np.float64]
_DOUBLES = ctypes.POINTER(ctypes.c_double)


def compiler() -> str | None:
    """Return the C compiler of this machine, or None."""
    return shutil.which("cc")


def build(folder: Path, flags: tuple[str, ...]) -> ctypes.CDLL:
    """Compile the loops with some flags."""
    target = folder / f"limit{len(flags)}.so"
    command = ["cc", *flags, "-shared", "-fPIC", "-o", str(target), str(SOURCE), "-lm"]
    subprocess.run(command, check=True, capture_output=True)
    return ctypes.CDLL(str(target))


def call(library: ctypes.CDLL, name: str, rows: Array, count: int) -> list[Array]:
    """Run one loop into four fresh arrays, as the Python side hands out fresh ones."""
    out = [np.empty((len(rows), count)) for _ in range(4)]
    pointers = [array.ctypes.data_as(_DOUBLES) for array in out]
    loop: Callable[..., None] = getattr(library, name)
    loop(len(rows), count, rows.ctypes.data_as(_DOUBLES), *pointers)
    return out


def _row(*columns: object) -> Array:
    flat = [np.ravel(np.asarray(value(column), float)) for column in columns]
    return np.stack(np.broadcast_arrays(*flat), axis=1).copy()


def _start(rest: PedalRest, hole: object, count: int) -> tuple[Array, Array]:
    per_mm = rest.sense / value(rest.radius)
    return value(hole) - value(rest.pivot), per_mm * value(rest.travel) / (count - 1)


def direct_rows(rest: PedalRest, count: int) -> Array:
    """Return the rows of `direct`: one cylinder, pushed."""
    (part,) = rest.parts
    assert isinstance(part, CylinderRest)
    back = np.conj(value(part.axis))
    arm, step = _start(rest, part.drive.hole, count)
    arm = arm * back
    pivot = (value(rest.pivot) - value(part.seat)) * back
    return _row(
        arm.real,
        arm.imag,
        pivot.real,
        pivot.imag,
        part.rod,
        step,
        rest.sense / value(rest.radius),
        abs(arm),
    )


def crank_rows(rest: PedalRest, count: int) -> Array:
    """Return the rows of `crank`: a bell crank, then one cylinder, pushed."""
    lever, part = rest.parts
    assert isinstance(lever, LeverRest)
    assert isinstance(part, CylinderRest)
    back = np.conj(value(part.axis))
    arm, step = _start(rest, lever.drive.hole, count)
    pivot = value(rest.pivot) - value(lever.pivot)
    c, r = abs(value(lever.arm)), value(lever.link)
    output = (value(lever.output) - value(lever.pivot)) * back / value(lever.arm)
    seat = (value(lever.pivot) - value(part.seat)) * back
    reach = abs(value(lever.output) - value(lever.pivot))
    return _row(
        arm.real,
        arm.imag,
        pivot.real,
        pivot.imag,
        0.0,
        step,
        rest.sense / value(rest.radius),
        0.0,
        (c + r) ** 2,
        (c - r) ** 2,
        (c + r) * (c - r),
        lever.sign,
        output.real,
        output.imag,
        seat.real,
        seat.imag,
        part.rod,
        reach,
    )


def cable_rows(rest: PedalRest, count: int) -> Array:
    """Return the rows of `cable`: a cable that ends at a lever."""
    (lever,) = rest.parts
    assert isinstance(lever, LeverRest)
    assert lever.run is not None
    arm, step = _start(rest, lever.drive.hole, count)
    pivot = value(rest.pivot) - value(lever.run.ferrule)
    c, k = abs(value(lever.arm)), abs(value(lever.line))
    free = value(lever.link)
    zero = np.arccos((c * c + k * k - free**2) / (2.0 * c * k))
    # The lever's turn is positive in the sense in which it starts: the free run gets
    # shorter, so the angle between arm and line closes.
    return _row(
        arm.real,
        arm.imag,
        pivot.real,
        pivot.imag,
        abs(value(lever.drive.hole) - value(lever.run.ferrule)),
        step,
        rest.sense / value(rest.radius),
        abs(arm),
        c * c + k * k,
        1.0 / (2.0 * c * k),
        lever.run.slack,
        free,
        -1.0,
        zero,
    )
