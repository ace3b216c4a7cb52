"""The arm of a pedal in a design: its points and stock as a plan in plain numbers."""

from collections.abc import Iterator

import numpy as np
from msgspec.structs import replace

from linkage.arm.plan import ArmPlan, Guess
from linkage.design.records import Arm, Chosen, Design, Same
from linkage.design.stock import PAD_THICK
from linkage.design.values import Value
from linkage.faults import DesignError, Fault
from linkage.places import Places, sense_of
from solvers.jet import value


def plan_of(design: Design, pedal: str) -> ArmPlan:
    """Return what the arm of a pedal is shaped from.

    Raises
    ------
    DesignError
        Where a value of this pedal is still free: an arm is cut from numbers.
    """
    _refuse_free(design, pedal)
    return plan_at(design, pedal, Places(design))


def plan_at(design: Design, pedal: str, places: Places) -> ArmPlan:
    """Return the same with the values that ``places`` holds, free or not."""
    record = design.pedals[pedal]
    pivot = complex(value(places.point(f"{pedal}.pivot")))
    pad = complex(value(places.point(f"{pedal}.pad")))
    holes = {
        key.removeprefix("holes."): complex(value(places.point(f"{pedal}.{key}")))
        for key, point in record.points.items()
        if key not in ("pivot", "pad") and not isinstance(point, Same | Chosen)
    }
    title = f"{design.title}: {pedal}" if design.title else pedal
    thick = PAD_THICK if record.pad_thick is None else record.pad_thick.nominal
    bores = {
        name: bore.nominal
        for name, bore in record.arm.bores.items()
        if (name in holes or name == "pivot") and not bore.guess
    }
    return ArmPlan(
        pivot=pivot,
        pad=pad,
        holes=holes,
        plate=record.arm.plate.nominal,
        process=record.arm.process,
        material=record.arm.material,
        title=f"{title} arm",
        bores=bores,
        pad_stand=thick,
        guessed=tuple(_guessed(record.arm)),
        speaks=design.units,
        press=1j * float(np.asarray(sense_of(record, pad - pivot))) * (pad - pivot),
    )


def _guessed(arm: Arm) -> Iterator[Guess]:
    """Yield what the plate is taken to be where the file does not say."""
    if arm.plate.guess:
        yield "plate", arm.plate.nominal
    if arm.material_guess:
        yield "material", arm.material


def located(error: DesignError, design: Design, pedal: str) -> DesignError:
    """Return an arm's faults with the file and, where one can be named, the line."""

    def line(key: str) -> int:
        paths = (f"{pedal}.{key}", f"{pedal}.holes.{key}")
        inside = tuple(f"{path}." for path in paths)
        for path, given in design.values.items():
            if path in paths or path.startswith(inside):
                return given.line
        return design.pedals[pedal].arm.line or design.pedals[pedal].line

    return DesignError(
        [
            replace(
                fault,
                file=fault.file or design.file,
                line=fault.line or line(fault.key),
            )
            for fault in error.faults
        ]
    )


def _refuse_free(design: Design, pedal: str) -> None:
    mine = (f"{pedal}.", "point.")
    given: list[Value | Chosen] = [*design.values.values(), *design.choices.values()]
    faults = [
        Fault(
            file=design.file,
            line=item.line,
            key=item.path.removeprefix(f"{pedal}."),
            wrong=f"{_said(item)} is still free, and a plate is cut once.",
            right=placing(design.file),
        )
        for item in given
        if item.path.startswith(mine) and _is_free(item)
    ]
    if faults:
        raise DesignError(faults)


def placing(file: str) -> str:
    """Return what the command line advises where a number is still free."""
    return f"Run  footwell place {file}  first, or write one number."


def _is_free(item: Value | Chosen) -> bool:
    return isinstance(item, Chosen) or item.kind != "fixed"


def _said(item: Value | Chosen) -> str:
    return " or ".join(item.names) if isinstance(item, Chosen) else f'"{item.text}"'
