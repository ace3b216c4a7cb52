"""Clearance and pads for programs: mm, points as (x, z)."""

from typing import Any

from linkage.design.records import Design
from linkage.faults import DesignError
from linkage.footwell.clearance import Clearance, clearances
from linkage.footwell.pads import PadGap, pad_gaps
from linkage.motion.rest import PedalRest


def is_furnished(design: Design) -> bool:
    """Return whether a file says more of its footwell than floor and bulkhead."""
    return bool(design.footwell.fixed) or design.driver.shoe is not None


def footwell_document(rest: PedalRest, upto: float) -> dict[str, Any]:
    """Return what a furnished footwell leaves one pedal; nothing for a bare one."""
    design = rest.places.design
    found: dict[str, Any] = {}
    if is_furnished(design):
        found["clearance"] = _rows(rest, upto)
    mine = [g for g in pad_gaps(design) if rest.pedal.name in (g.left, g.right)]
    if mine:
        found["pads"] = [_pads(each) for each in mine]
    return found


def _rows(rest: PedalRest, upto: float) -> list[dict[str, Any]] | None:
    """Return every pair, the least gap first; None where no arm can be shaped."""
    try:
        return [_row(each) for each in clearances(rest, upto)]
    except DesignError:
        return None


def _row(each: Clearance) -> dict[str, Any]:
    return {
        "part": each.part,
        "thing": each.thing,
        "gap": each.gap + 0.0,
        "travel": each.travel + 0.0,
        "touches": each.touch,
        "on_part": [each.on_part.real + 0.0, each.on_part.imag + 0.0],
        "on_thing": [each.on_thing.real + 0.0, each.on_thing.imag + 0.0],
    }


def _pads(each: PadGap) -> dict[str, Any]:
    return {
        "left": each.left,
        "right": each.right,
        "between_edges": each.edge + 0.0,
        "step": each.step + 0.0,
        "step_left_full": each.left_full + 0.0,
        "step_right_full": each.right_full + 0.0,
        "level_at": each.level,
    }
