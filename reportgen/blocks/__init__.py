"""What a writer may put into the notes: one file a block of keys, each with its type and help."""
