"""Plans of sheets: results to shapes on pages. No plan opens a file."""
