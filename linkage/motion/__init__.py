"""The pedal in motion: at rest, through its travel, and where it ends."""
