"""What an arm is made from where its maker has not said: guesses, and listed as such.

8 mm plate, a 20 mm pivot tube and 8 mm pins are common practice, no source.
"""

from collections.abc import Mapping
from fractions import Fraction

from linkage.units import INCH

#: Bores of cylinders that are sold, mm by their name: inches in metric countries too
#: (common practice, no source); 0.700 in is no 11/16.
BORES: Mapping[str, float] = {
    f"{text} in": float(sum(map(Fraction, text.split())) * INCH)
    for text in (
        *("9/16", "5/8", "11/16", "0.700", "3/4", "13/16", "7/8", "15/16"),
        *("1", "1 1/16", "1 1/8"),
    )
}
#: From the arm's edge to the face that the sole touches, mm: a 6 mm plate with a rubber
#: (common practice, no source).
PAD_THICK = 10.0
#: mm.
PLATE, PIVOT_BORE, HOLE_BORE = 8.0, 20.0, 8.0
MATERIAL = "steel"
#: How the plate is cut; the first is the guess.
PROCESSES = ("laser", "plasma")
#: What an arm turns on, mm (12 to 20 is common practice, no source), and the
#: coefficient of friction of a greased bronze or steel bush (0.1 to 0.2, from memory).
PIVOT_PIN, RUBBING = 16.0, 0.15
#: The plate of a pad, mm: along its face, and across the car (common practice, no source).
PAD_HIGH, PAD_WIDE = 64.0, 60.0
#: A shoe, mm: see `linkage.design.driver`.
SHOE_SIZES = {"length": 310.0, "width": 125.0, "sole": 12.0, "height": 70.0}
#: From the heel to the ball of the foot, of a shoe's length: 203 mm is SAE manikin
#: practice, second-hand.
BALL_SHARE = 203.0 / 310.0
#: What stands for the thickness of a rod, mm (common practice, no source).
ROD = 10.0
