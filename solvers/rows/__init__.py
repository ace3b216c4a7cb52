"""Constraint rows on points of the plane, one frozen record a kind."""

from solvers.rows.driven import Along as Along
from solvers.rows.driven import Carried as Carried
from solvers.rows.driven import Drawn as Drawn
from solvers.rows.driven import Given as Given
from solvers.rows.driven import Turn as Turn
from solvers.rows.driven import Unrolled as Unrolled
from solvers.rows.row import Row as Row
from solvers.rows.tied import Apart as Apart
from solvers.rows.tied import InLine as InLine
from solvers.rows.tied import Joined as Joined
from solvers.rows.tied import Length as Length
from solvers.rows.tied import OnLine as OnLine
from solvers.rows.tied import Pinned as Pinned
from solvers.rows.tied import Run as Run

KINDS: tuple[type[Row], ...] = (
    Length,
    Pinned,
    Joined,
    OnLine,
    InLine,
    Apart,
    Turn,
    Carried,
    Along,
    Drawn,
    Run,
    Unrolled,
    Given,
)
