"""The pedal: its design file, its motion, its parts on paper and in metal.

From Python the job is five verbs:

>>> import linkage
>>> design = linkage.load("examples/brake-hanging.toml")
>>> swept = linkage.sweep(design, "brake", at=[0, 75, 150])
>>> round(float(swept["ratio"][0]), 2)
5.97

``place`` fills in what is free, ``outline`` gives the arm's contour, ``write`` puts a
placement as a file, a cut file, a pattern, a picture or a table on disk.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from linkage.faults import DesignError as DesignError
    from linkage.loading import load as load
    from linkage.loading import load_text as load_text
    from linkage.placing.place import place as place
    from linkage.sweeping import sweep as sweep
    from linkage.writing import outline as outline
    from linkage.writing import write as write

#: Public names, and where each lives; imported when first asked for.
_HOMES = {
    "DesignError": "linkage.faults",
    "load": "linkage.loading",
    "load_text": "linkage.loading",
    "outline": "linkage.writing",
    "place": "linkage.placing.place",
    "sweep": "linkage.sweeping",
    "write": "linkage.writing",
}
__all__ = tuple(_HOMES)


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module 'linkage' has no attribute {name!r}")
    return getattr(import_module(_HOMES[name]), name)


def __dir__() -> list[str]:
    return sorted(_HOMES)
