"""Limits as data: what is ok, what fails, and who says so; in sets of rules."""
