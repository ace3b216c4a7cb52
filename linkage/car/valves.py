"""Valves in a brake line: what leaves them for what comes in, MPa."""

from typing import Any

import numpy as np
from msgspec import Struct


class Proportioning(Struct, frozen=True, kw_only=True, eq=False):
    """Equal up to ``knee``; beyond it what leaves rises at ``slope`` only.

    Attributes
    ----------
    knee : float
        MPa; infinite for a line without a valve.
    slope : float
        From 0 up to 1.
    """

    knee: Any = np.inf
    slope: Any = 1.0

    def out(self, pressure: Any) -> Any:
        """Return the pressure behind it."""
        over = np.maximum(np.subtract(pressure, self.knee), 0.0)
        return np.minimum(pressure, self.knee) + self.slope * over

    def into(self, pressure: Any) -> Any:
        """Return the pressure ahead of it; infinite beyond what a shut one passes."""
        over = np.maximum(np.subtract(pressure, self.knee), 0.0)
        with np.errstate(divide="ignore", invalid="ignore"):
            more = np.where(over > 0.0, np.divide(over, self.slope), 0.0)
        return np.minimum(pressure, self.knee) + more
