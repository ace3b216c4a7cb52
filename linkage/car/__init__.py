"""What the fluid and the car make of a pedal's push.

Kernels, plain sums of numbers or arrays that know no design: `fluid`, `hoses`, `master`,
`booster`, `bar`, `valves`, `brakes`, `axles`, `stopping`. They are put together in
`pistons` (what a rod drives) and `road` (what the car does with it).

From a design to their numbers: `guesses` (what stands in for a missing one), `lines` (a
circuit), `drive` (cylinder and car), `rig` (the brake as a whole). What is asked of a
whole brake: `budget`, `asking`, `meeting`, `document`.

mm, mm3, N, MPa, N mm; pressures count from that of the air outside. Deceleration is in
units of g0, standard gravity, unless it says otherwise.
"""
