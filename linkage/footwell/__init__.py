"""The footwell: what moves in it, what stands in its way, and how near they come."""
