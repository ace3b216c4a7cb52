"""The pedal: its design file, its motion, its parts on paper and in metal."""
