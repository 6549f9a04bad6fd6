"""The parts of a page: one file a passage, from report to plain values for the template."""
