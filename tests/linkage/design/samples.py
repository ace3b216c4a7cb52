"""Design files of an invented car, the Quillet two-seater."""

BRAKE = """\
title = "Quillet two-seater"
units = "mm"

[pedal.brake]
pivot  = [120, 545]            # from the bulkhead, up from the floor
pad    = [35, 255]
clevis = [106, 484.5]
travel = 120

[[pedal.brake.train]]
part = "cylinder"
seat = [233, 487]
axis = "forward"
bore = "3/4 in"
stroke = "1.4 in"
free_play = 0.5

[[pedal.brake.target]]
of = "stroke"
at = "full"
is = 24
within = 0.2
"""

#: Everything that can be free is free in one place or another.
FREE = """\
title = "Quillet two-seater, as a question"   # keep me
units = "mm"

[point]
shaft = [120, "540 to 550"]   # both pedals hang on it

[footwell]
floor = 0
bulkhead = [[400, 0], [380, 600]]
marks = { back = "the string at the scuttle lip", up = "the bare floor" }

[pedal.brake]
pivot  = "shaft"
pad    = { back = "30 to 40", up = "about 255", thick = 13 }
clevis = { one_of = ["lower", "upper"] }
travel = "100 to 150 near 118"
locked = ["pivot"]
across = { pad = -20, clevis = 0, seat = 5 }

[pedal.brake.holes]
lower = { line = ["pivot", "pad"], along = "50 to 60 near 56 +- 0.5", ahead = 7.8 }
upper = { from = "pivot", reach = "1 7/8 to 2 1/4 in", angle = "down, 5 to 12 deg back" }

[pedal.brake.arm]
plate = 8
material = "steel"
process = "plasma"
mass = "0.7 kg"
bores = { pivot = 25, lower = 10 }

[[pedal.brake.train]]
part = "cylinder"
name = "main"
face = { ahead = "225 to 235", up = 489.5, from = "shaft" }
depth = "about 11"
axis = "-3 to 3 deg"
bore = { one_of = ["0.70 in", "3/4 in"] }
stroke = "1.4 in"
free_play = 0.5
thread = "M8"

[[pedal.brake.target]]
of = "ratio"
at = "0 to 70 mm"
least = 5
most = 5.6
which = 1

[[pedal.brake.target]]
of = "rod angle"
prefer = "small"

[pedal.clutch]
pivot = "shaft"
pad = [35, 255]
clevis = [106, "590 to 610"]
full = { tape = 100 }

[[pedal.clutch.train]]
part = "lever"
name = "crank"
pivot = [180, 550]
input = { from = "own pivot", reach = "40 to 50", side = "below" }
rod = 76
output = [225, 590]

[[pedal.clutch.train]]
part = "cable"
ferrule = { from = "crank.output", back = 200 }
slack = 1
pull = 20

[[pedal.clutch.target]]
of = "distance"
between = ["pad", "brake.pad"]
at = "60 %"
least = 50

[pedal.throttle]
pivot = [0, 300]
pad = [-60, 120]
clevis = [10, 420]
travel = 60

[[pedal.throttle.train]]
part = "quadrant"
pivot = [0, 0]
radius = "18 to 25"
sense = "ccw"
turn = 82
cable = { ferrule = [-150, 420], slack = "1 to 2" }
"""
