"""One pedal under load: what is stated, every column, the document."""
