"""The JSON document of a question to a brake: mm, N, MPa, mm3, g0, full precision."""

from typing import Any

import numpy as np

from linkage.car.asking import Answer, Locking
from linkage.car.budget import Row, Sway
from linkage.car.pistons import Piston
from linkage.car.twin import Alone, Twin
from linkage.last_word import STOPS

UNITS = {"foot": "N", "pressure": "MPa", "deceleration": "g0"}


def answer_document(answer: Answer) -> dict[str, Any]:
    """Return the JSON document; null where there is no value."""
    return {
        "pedal": answer.rig.rest.pedal.name,
        "stated": _stated(answer),
        "missed": answer.missed or None,
        **_pressed(answer),
        "bar": _bar(answer),
        "car": _car(answer),
        "budget": [_row(row) for row in answer.rows],
        "locks": [_locking(each) for each in answer.locks],
        "vacuum_after_stops": list(answer.vacuums) or None,
        "guesses": [_guess(sway) for sway in answer.sways],
        "caution": STOPS,
    }


def _stated(answer: Answer) -> dict[str, Any]:
    return {
        "what": answer.of,
        "size": answer.size,
        "unit": UNITS[answer.of],
        "booster": _booster(answer),
        "lost": _lost(answer),
    }


def _pressed(answer: Answer) -> dict[str, Any]:
    """Return what foot and fluid do."""
    foot, fluid, rig = answer.state.foot, answer.state.fluid, answer.rig
    return {
        "effort": foot.effort[0],
        "travel": foot.travel[0],
        "travel_left": rig.travel - foot.travel[0],
        "stroke_left": _finite(float(fluid.left[0])),
        "rod_force": fluid.rod[0],
        "pressure": {name: p[0] for name, p in fluid.pressures.items()},
        "wheel_pressure": {
            line.name: line.valve.out(fluid.pressures[line.name])[0]
            for line in rig.driven.lines
        },
    }


def _row(row: Row) -> dict[str, Any]:
    return {
        "cause": row.cause,
        "circuit": row.circuit or None,
        "volume": row.volume,
        "rod": row.moved,
        "pad": row.pad,
    }


def _locking(each: Locking) -> dict[str, Any]:
    return {
        "axle": each.lock.axle,
        "deceleration": each.lock.z,
        "effort": each.effort,
        "travel": each.travel,
    }


def _guess(sway: Sway) -> dict[str, Any]:
    return {
        "path": sway.doubt.path,
        "taken": sway.doubt.nominal,
        "low": sway.doubt.low,
        "high": sway.doubt.high,
        "said": sway.doubt.text or None,
        "source": sway.doubt.source or None,
        "travel": list(sway.travel),
        "effort": list(sway.effort),
        "deceleration": None if sway.stop is None else list(sway.stop),
        "lock": None if sway.lock is None else list(sway.lock),
    }


def _bar(answer: Answer) -> dict[str, Any] | None:
    """Return what a balance bar does; lengths mm, angles deg."""
    driven = answer.rig.driven
    if isinstance(driven, Twin):
        front, rear = driven.strokes(answer.level)
        return {
            "front_share": driven.bar.share,
            "tilt": np.degrees(driven.tilt(answer.level)),
            "tilt_limit": np.degrees(driven.bar.tilt),
            "front_stroke": front,
            "rear_stroke": rear,
            "front_longer": driven.bar.longer,
            "front_longer_for_square": driven.square(answer.level),
        }
    if isinstance(driven, Alone):
        swung = driven.swung(answer.level)
        return {
            "front_share": driven.bar.share,
            "tilt": np.degrees(swung.tilt),
            "tilt_limit": np.degrees(driven.bar.tilt),
            "dead_stroke": swung.dead,
            "stops": swung.stops,
        }
    return None


def _booster(answer: Answer) -> str | None:
    driven = answer.rig.driven
    if not isinstance(driven, Piston) or driven.booster is None:
        return None
    return "dead" if driven.dead else "works"


def _lost(answer: Answer) -> str | None:
    return answer.rig.driven.lost_circuit or None


def _finite(x: float) -> float | None:
    return x if abs(x) < float("inf") else None


def _car(answer: Answer) -> dict[str, Any] | None:
    car = answer.state.car
    if car is None:
        return None
    return {
        "deceleration": car.z[0],
        "front_drag": car.front[0],
        "rear_drag": car.rear[0],
        "front_used": car.used_front[0],
        "rear_used": car.used_rear[0],
    }
