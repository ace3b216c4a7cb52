"""The cut file: what the process can hold, the file, and the check of its bytes."""
