"""Closed forms derived by SymPy, and their working for people. Never in a hot path.

SymPy is loaded by the functions that need it, not by the import.
"""

from solvers.derive.closures import CLOSURES as CLOSURES
from solvers.derive.closures import Derived as Derived
from solvers.derive.closures import derive as derive
from solvers.derive.working import WORKINGS as WORKINGS
from solvers.derive.working import Line as Line
from solvers.derive.working import working as working
