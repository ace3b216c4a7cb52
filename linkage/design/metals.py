"""How heavy the plate is: densities by material, as data with their source."""

import difflib

from linkage.faults import DesignError, Fault

#: Material -> kg/m3. Steel 7850: EN 1991-1-1, Table A.4 (77 to 78.5 kN/m3) and EN
#: 1993-1-1, 3.2.6 practice; aluminium 2700: EN 1999-1-1, 3.2.5; stainless 7900: EN
#: 10088-1, 1.4301. 6061 and 6082 2700, 7075 2810, 5083 2660: makers' sheets. All FROM
#: MEMORY; none of them is far enough off to matter to a part's weight.
DENSITY = {
    "steel": 7850.0,
    "s235": 7850.0,
    "s275": 7850.0,
    "s355": 7850.0,
    "a36": 7850.0,
    "4130": 7850.0,
    "stainless": 7900.0,
    "304": 7900.0,
    "316": 8000.0,
    "aluminium": 2700.0,
    "6061": 2700.0,
    "6082": 2700.0,
    "5083": 2660.0,
    "7075": 2810.0,
}
_SAME = {"aluminum": "aluminium", "mild steel": "steel", "stainless steel": "stainless"}


def density(material: str) -> float:
    """Density of a material, kg/m3; tempers ("6061-T6") and case do not matter.

    Raises
    ------
    DesignError
        The material is not in the table.
    """
    word = _word(material)
    if word not in DENSITY:
        wrong, right = unknown(material)
        raise DesignError([Fault(key="arm.material", wrong=wrong, right=right)])
    return DENSITY[word]


def is_known(material: str) -> bool:
    """Return True for a material whose density is known."""
    return _word(material) in DENSITY


def _word(material: str) -> str:
    word = " ".join(material.lower().split())
    return _SAME.get(word, word).split("-")[0].strip()


def unknown(material: str) -> tuple[str, str]:
    """Return the sentence for an unknown material, with those that there are."""
    near = difflib.get_close_matches(material.lower()[:40], [*DENSITY, *_SAME], n=1)
    nearest = f'Nearest: "{near[0]}". ' if near else ""
    shown = material if len(material) <= 40 else f"{material[:40]}..."
    return (
        f'"{shown}" is no material this program has a density for.',
        f"{nearest}Known: {', '.join(DENSITY)}. For any other, name the one that "
        "weighs most like it.",
    )
