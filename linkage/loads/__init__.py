"""Forces through a pedal at rest in each place: springs, weight, friction, every part.

Everything is the equilibrium of one part after another; inertia comes in only where a
released pedal runs home. mm, N, N mm, MPa, kg, s.
"""
