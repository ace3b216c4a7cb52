"""Designs for the checks of the checks: a plain pedal, and a car of plain numbers."""

import math
from typing import Any

from linkage.findings.check import check
from linkage.findings.records import Finding, Report
from linkage.loading import load_text


def pedal(
    *,
    arm: float = 305.0,
    crank: float = 50.8,
    start: float = 0.0,
    rod: float = 130.0,
    travel: float = 75.0,
    level: float | None = None,
    more: str = "",
    top: str = "",
) -> str:
    """Return a hanging pedal of no weight, its cylinder's axis level.

    Parameters
    ----------
    start : float
        Of the hole, deg past straight down, the way it is pressed.
    level : float, optional
        Height of the axis, mm; left out, halfway between where the hole begins and ends.
    """
    turn = travel / arm
    low, high = math.radians(start), math.radians(start) + turn
    if level is None:
        level = -0.5 * crank * (math.cos(low) + math.cos(high))
    hole = (crank * math.sin(low), -crank * math.cos(low))
    seat = hole[0] + math.sqrt(rod**2 - (level - hole[1]) ** 2)
    return f"""{top}
[pedal.brake]
pivot = [0, 0]
pad = [0, {-arm}]
clevis = [{hole[0]:.12f}, {hole[1]:.12f}]
travel = {travel}
arm = {{ mass = "0.001 g" }}
[[pedal.brake.train]]
part = "cylinder"
seat = [{seat:.12f}, {level:.12f}]
axis = "forward"
{more}
"""


def car(share: float, *, grip: float = 0.9, count: str = "") -> str:
    """Return the car of the published sums, its front brakes with a share of all.

    1200 kg, 2.5 m, its centre of gravity 1.1 m behind the front axle and 0.5 m high.
    Both circuits have one pair of floating discs each; their radii share the torque.
    """
    return f"""
[vehicle]
mass = "1200 kg"
wheelbase = 2500
cg_back = 1100
cg_height = 500
grip = {grip}
tyre = 300
[circuit.front]
fluid = "50 cc"
bulk = "1.8 GPa"
air = "0 cc"
brake = {{ kind = "floating disc", piston = 48, radius = {200.0 * share}, friction = 0.4, clearance = 0.1, squash = "0.05 cc/MPa" }}
[circuit.rear]
fluid = "50 cc"
bulk = "1.8 GPa"
air = "0 cc"
brake = {{ kind = "floating disc", piston = 48, radius = {200.0 * (1.0 - share)}, friction = 0.4, clearance = 0.1, squash = "0.05 cc/MPa" }}
{count}
"""


TANDEM = """
bore = "3/4 in"
stroke = 36
first_stroke = 18
free_play = 0.5
cut_off = 1
circuits = ["front", "rear"]
"""


def report(text: str, *names: str) -> Report:
    """Return what the check of a text finds."""
    design = load_text(text)
    return check(design, names or tuple(design.pedals))


def found(text: str, name: str) -> Finding:
    """Return the finding of one name."""
    (one,) = [each for each in report(text).findings if each.name == name]
    return one


def value(text: str, name: str) -> Any:
    """Return the value of one finding."""
    got = found(text, name).measured
    return None if got is None else got.value
