"""Failures of a brake, rehearsed: what is assumed, where the pad ends, what is left."""
