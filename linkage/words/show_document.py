"""A design file read back for programs: the facts that `linkage.words.show` says.

Lengths in mm, angles in deg, x forward and z up.
"""

from collections.abc import Sequence
from typing import Any

import numpy as np

from linkage.design.records import Design
from linkage.design.values import Value
from linkage.placing.wishes import outward
from linkage.quantities.register import QUANTITIES
from linkage.sweeping import standing
from linkage.words.account import Account, account_of
from linkage.words.figures import with_figures
from linkage.words.guesses import touches
from linkage.words.points import Spot, spots
from linkage.words.sways import Swayed, readings, sways
from linkage.words.tape import Tape, agreement, tapes


def show_document(design: Design, pedals: Sequence[str]) -> dict[str, Any]:
    """Return the facts of some pedals.

    Raises
    ------
    DesignError
        Where a pedal cannot stand at rest, or pressing works the wrong way.
    """
    return {
        "title": design.title,
        "marks": {"back": design.footwell.marks.back, "up": design.footwell.marks.up},
        "pedals": [_pedal_document(design, name) for name in pedals],
    }


def _pedal_document(design: Design, name: str) -> dict[str, Any]:
    rest = standing(design, name)
    account, found = account_of(rest), tapes(design, rest)
    limit = account.limit
    stuck = limit is not None and limit.travel <= 0.0
    swayed = {} if stuck else with_figures(design, name, sways(design, name))
    own = design.pedals[name].arm
    return {
        "pedal": name,
        **_account_document(account),
        "points": {spot.key: _spot_document(spot) for spot in spots(rest)},
        "tape": [_tape_document(tape) for tape in found],
        "agree_within": agreement(found, design.units),
        "free": _free(design, name),
        "guesses": [
            _sway_document(swayed.get(each.path), each)
            for each in design.guesses
            if touches(design, each.path, name)
        ],
        "taken": {
            "plate": None if own.plate.line else own.plate.nominal,
            "material": own.material if own.material_guess else None,
            "bores": {k: v.nominal for k, v in own.bores.items() if not v.line},
            "within": _within(design, name),
        },
        "readings": [_sway_document(each, each.value) for each in readings(swayed)],
    }


def _within(design: Design, name: str) -> dict[str, float]:
    """Return what was taken for each ``within`` left out, by target, in its unit."""
    return {
        str(target.number): outward(target.within, QUANTITIES[target.of].unit)
        for target in design.pedals[name].targets
        if target.within is not None and not target.within_said
    }


def _spot_document(spot: Spot) -> dict[str, Any]:
    return {
        "x": spot.at.real + 0.0,
        "z": spot.at.imag + 0.0,
        "give": list(spot.give),
        "beyond_cable": spot.far,
    }


def _tape_document(tape: Tape) -> dict[str, Any]:
    """Return one length; at rest or at full it is None where it has none."""
    return {
        "what": tape.what,
        "rest": tape.rest,
        "full": tape.full,
        "on_guess": tape.on_guess,
    }


def _free(design: Design, name: str) -> list[str]:
    paths = [path for path, each in design.values.items() if each.kind != "fixed"]
    return [path for path in [*paths, *design.choices] if touches(design, path, name)]


def _account_document(account: Account) -> dict[str, Any]:
    def pair(z: complex | None) -> list[float] | None:
        return None if z is None else [z.real + 0.0, z.imag + 0.0]

    limit = account.limit
    return {
        "kind": account.kind,
        "pad_from_pivot": pair(account.pad),
        "hole_from_pivot": pair(account.hole),
        "pad_way": pair(account.pad_way),
        "hole_way": pair(account.hole_way),
        "travel": account.travel,
        "straight": account.straight,
        "arm_turn": account.turn,
        "links": [
            {
                "part": f"train.{joint.part}",
                "kind": joint.kind,
                "pushes": joint.pushes,
                "past_square_rest": joint.past,
                "past_square_full": joint.past_full,
                "square_at": joint.square_at,
                "length": joint.length,
            }
            for joint in account.joints
        ],
        "limit": limit and {"kind": limit.kind, "travel": limit.travel},
    }


def _sway_document(swayed: Swayed | None, each: Value) -> dict[str, Any]:
    angle = each.unit == "deg"
    factor = 180.0 / np.pi if angle else 1.0
    return {
        "path": each.path,
        "value": float(each.nominal * factor),
        "unit": "deg" if angle else "mm",
        "out": None if swayed is None else float(swayed.out * factor),
        "sways": [
            {"of": sway.of, "unit": sway.unit, "change": sway.change}
            for sway in (swayed.sways if swayed else ())
        ],
    }
