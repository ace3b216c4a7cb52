"""Planar numerics: arrays in, arrays out. Nothing here knows what a pedal is."""
