"""Who reads the report: one file an edition, listing what that reader is entitled to."""
