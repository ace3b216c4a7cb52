"""What can be said of a moving pedal: each quantity once, for columns and targets."""
