"""Every stock bore with every hole of an arm: what the foot has to do for a stop.

`holes` says which, `swing` carries them, `climb` asks all pairs at once, `judging` holds
them against limits, `document` tells them to programs.
"""
