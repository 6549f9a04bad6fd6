"""What a reading measures: one file a kind, with its limits, sources and working."""
