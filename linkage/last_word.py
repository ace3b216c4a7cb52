"""Who has the last word on a pedal: the cautions that every sheet and answer carries.

All of them stand here. It must never know what they are printed on.
"""

LAST = "your local code and a licensed person have the last word."
THEN = LAST.capitalize()
HURT = "Brakes and throttles can hurt people."

#: Of the program itself.
PROGRAM = f"{HURT} What this program says is shapes and sums, not proof: {LAST}"
#: On every drawing.
SHEET = f"{HURT} This sheet shows shapes and sums, not proof: {LAST}"
#: Under a sweep, which carries no load.
ARC = f"The bare linkage, without load: shapes and sums, not proof. {THEN}"
#: Under forces, and under what the car does with them.
FORCES = f"Rigid parts, and friction as it was stated: sums, not proof. {THEN}"
STOPS = (
    "Sums of rigid parts, and of guesses where the file says nothing: not proof that a "
    f"car stops. {THEN}"
)
#: Under an answer of the search.
PLACED = f"Not judged here: strength and room for feet. {THEN}"
#: Beside findings, and under a report of them.
FINDINGS = f"No fail does not mean safe. {THEN}"
REPORT = (
    "No FAIL does not mean safe: it means that none of these sums found one. "
    f"{HURT} {THEN}"
)
#: Beside an outline that is to be cut.
CUT = f"A pedal that fails can kill. {THEN}"
