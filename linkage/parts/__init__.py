"""The parts that a train is made of: a file a part, and this register."""

from collections.abc import Mapping
from types import MappingProxyType

from linkage.design.records import Part
from linkage.parts.balance_bar import BalanceBar
from linkage.parts.cable import Cable
from linkage.parts.cylinder import Cylinder
from linkage.parts.lever import Lever
from linkage.parts.quadrant import Quadrant

#: Every kind of part by the word that stands behind ``part =`` in a design file.
KINDS: Mapping[str, type[Part]] = MappingProxyType(
    {kind.KIND: kind for kind in (Cylinder, Lever, Quadrant, Cable, BalanceBar)}
)
