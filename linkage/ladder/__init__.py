"""Every stock bore with every hole of an arm: what the foot has to do for a stop.

`holes` says which, `climb` works them out all at once, `judging` holds them against
limits, `document` tells them to programs.
"""
