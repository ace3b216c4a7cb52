"""The design file: what may stand in it, and the records it is read into."""
