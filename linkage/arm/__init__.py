"""The arm as a piece of plate: what it is cut from, and its outline."""
