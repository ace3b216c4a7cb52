"""Closed outlines of straight lines and true arcs: build, offset, measure, relate.

A contour is an (n, 3) float array: x, z, bulge of the piece to the next row; closed by
its nature. Points are complex (x + iz). Nothing here is ever cut into facets.
"""
