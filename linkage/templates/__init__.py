"""The starting files of ``footwell new``, and what to measure for each.

A starting file runs as it is. What is to be measured stands in it as numbers marked
(1), (2) ... in measuring order; an `Ask` says which number of the file that is.
"""

from collections.abc import Mapping
from importlib.resources import files
from types import MappingProxyType

from msgspec import Struct


class Ask(Struct, frozen=True):
    """One number to measure.

    Attributes
    ----------
    path : str
        Of its value in the file: ``brake.pivot.back``.
    label : str
        What: "pivot, back".
    hint : str
        How it is measured.
    """

    path: str
    label: str
    hint: str


class Template(Struct, frozen=True, kw_only=True):
    """One starting file.

    Attributes
    ----------
    kind : str
        As ``footwell new`` knows it; the file of that name holds its text.
    pedal : str
        The name of its one pedal.
    says : str
        What it is, in a few words.
    asks : tuple of Ask
        In measuring order, numbered from 1.
    units : str
        Of its bare lengths: "mm", or "in".
    """

    kind: str
    pedal: str
    says: str
    asks: tuple[Ask, ...]
    units: str = "mm"

    @property
    def text(self) -> str:
        """Return the text of the file."""
        file = files("linkage.templates").joinpath(f"{self.kind}.toml")
        text = file.read_text(encoding="utf-8")
        if self.units == "mm":
            return text
        from linkage.templates.inch_file import in_inches

        return in_inches(text)


def _pivot_and_pad(pedal: str, mark: str) -> tuple[Ask, ...]:
    return (
        Ask(
            f"{pedal}.pivot.back",
            "pivot, back",
            f"level, from the {mark} to the middle of the shaft",
        ),
        Ask(
            f"{pedal}.pivot.up",
            "pivot, up",
            "plumb, from the bare floor to the middle of the shaft",
        ),
        Ask(
            f"{pedal}.pad.back",
            "pad, back",
            f"level, from the {mark} to the middle of the face",
        ),
        Ask(
            f"{pedal}.pad.up",
            "pad, up",
            "plumb, from the bare floor to the middle of the face",
        ),
    )


def _hole_and_cylinder(pedal: str, mark: str, word: str) -> tuple[Ask, ...]:
    return (
        Ask(
            f"{pedal}.clevis.along",
            "hole, along",
            "along a string from pivot to pad, from the pivot",
        ),
        Ask(
            f"{pedal}.clevis.ahead",
            "hole, ahead",
            "square off that string, towards the front of the car",
        ),
        Ask(
            f"{pedal}.train.1.face.{word}",
            f"cylinder face, {word}",
            f"level, from the {mark} to where the rod goes in",
        ),
        Ask(
            f"{pedal}.train.1.face.up",
            "cylinder face, up",
            "plumb, from the bare floor to the middle of the bore",
        ),
        Ask(
            f"{pedal}.train.1.depth",
            "depth",
            "from that face to the cup's bottom, less the gap",
        ),
    )


_STRING, _SHEET = "plumb string", "bulkhead"

#: Every starting file by its kind.
TEMPLATES: Mapping[str, Template] = MappingProxyType(
    {
        template.kind: template
        for template in (
            Template(
                kind="hanging-brake",
                pedal="brake",
                says="a hanging brake with one cylinder",
                asks=(
                    *_pivot_and_pad("brake", _STRING),
                    *_hole_and_cylinder("brake", _STRING, "ahead"),
                ),
            ),
            Template(
                kind="floor-brake",
                pedal="brake",
                says="a floor brake with one cylinder ahead of it",
                asks=(
                    *_pivot_and_pad("brake", _SHEET),
                    *_hole_and_cylinder("brake", _SHEET, "back"),
                ),
            ),
            Template(
                kind="clutch",
                pedal="clutch",
                says="a hanging clutch with one cylinder",
                asks=(
                    *_pivot_and_pad("clutch", _STRING),
                    *_hole_and_cylinder("clutch", _STRING, "ahead"),
                ),
            ),
            Template(
                kind="throttle",
                pedal="throttle",
                says="a hanging throttle whose cable turns a quadrant",
                asks=(
                    *_pivot_and_pad("throttle", _STRING),
                    Ask(
                        "throttle.clevis.up",
                        "cable's hole, up",
                        "plumb, from the middle of the shaft",
                    ),
                    Ask(
                        "throttle.clevis.ahead",
                        "cable's hole, ahead",
                        "level, from the middle of the shaft",
                    ),
                    Ask(
                        "throttle.train.1.cable.ferrule.ahead",
                        "ferrule, ahead",
                        f"level, from the {_STRING} to the bare inner's end",
                    ),
                    Ask(
                        "throttle.train.1.cable.ferrule.up",
                        "ferrule, up",
                        "plumb, from the bare floor to the same place",
                    ),
                    Ask(
                        "throttle.train.1.radius",
                        "quadrant, radius",
                        "from its spindle to the middle of the cable on the rim",
                    ),
                ),
            ),
        )
    }
)
