"""Names that belong to one mechanism, as labels that want a place."""

from collections.abc import Iterator

from linkage.sheets.draughting import unit
from linkage.sheets.labels import Label
from linkage.sheets.mechanism import pad_along
from linkage.sheets.ruler import Ruler
from linkage.sheets.scene import Group
from linkage.sheets.view import View

_WORDS = {"rest": "rest", "mid": "half way", "full": "full"}


def group_labels(group: Group, view: View, ruler: Ruler) -> Iterator[Label]:
    """Return the names that belong to one mechanism.

    Without an arc the positions are not named.
    """
    for pose in group.poses:
        if pose.arm is not None and group.arc and not pose.pad_alone:
            along = pad_along(pose.arm, group)
            yield Label(
                lines=(f"{_WORDS[pose.at]} {ruler.travel(pose.travel)}",),
                at=view.at(pose.arm.pad + along),
                towards=view.way(along),
                weight=6.0,
                kin="position",
            )
    yield from _part_labels(group, view)
    yield from _detail_labels(group, view, ruler)


def _part_labels(group: Group, view: View) -> Iterator[Label]:
    for cylinder in group.cylinders:
        back = -1.0 if cylinder.pull else 1.0
        at = view.at(cylinder.face + cylinder.axis * complex(24.0 * back, 0.0))
        yield Label(lines=cylinder.text, at=at, towards=1j, weight=2.0)
    for ferrule in group.ferrules:
        at = view.at(ferrule.at - 12.0 * unit(ferrule.inner))
        yield Label(lines=ferrule.text, at=at, weight=2.0)


def _detail_labels(group: Group, view: View, ruler: Ruler) -> Iterator[Label]:
    full = max((pose.travel for pose in group.poses), default=0.0)
    for travel, place in group.ticks:
        if travel > 0.0 and ruler.is_long(travel) and full - travel > ruler.tick / 2:
            yield Label(
                lines=(ruler.number(travel),),
                at=view.at(place),
                role="arc letters",
                weight=4.0,
            )
    if group.square is not None:
        text = f"square at {ruler.travel(group.square.travel)} {ruler.name} of pad"
        at = view.at(group.square.corner)
        yield Label(lines=(text,), at=at, role="square letters", weight=3.0)
    for name in group.names:
        yield Label(lines=name.text, at=view.at(name.at), weight=3.0)
