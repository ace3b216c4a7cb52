"""What the fluid and the car make of a pedal's push.

Volumes and strokes, pressures, boosters, balance bars, wheel brakes, axles, stops. The
kernels are plain sums: numbers or arrays in, the same out. mm, mm3, N, MPa, N mm;
pressures count from that of the air outside. Deceleration is in units of
g0 = 9.80665 m/s2 unless it says otherwise.
"""
