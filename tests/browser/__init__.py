"""The page in a real browser, as its user meets it."""
