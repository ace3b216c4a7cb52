"""Filling in what a design leaves free, so that every target holds."""
