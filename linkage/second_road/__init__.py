"""Every pedal a second time, by constraint rows instead of closed forms.

The mechanism is laid down as points, lengths and turns, and followed numerically. It
shares with the closed forms only where things are at rest; it must never call a motion
law of `linkage.parts`, `linkage.motion.run` or `solvers.closure`.
"""

from linkage.second_road.simulation import Ending as Ending
from linkage.second_road.simulation import Simulation as Simulation
from linkage.second_road.simulation import simulate as simulate
