"""How charts are drawn: one file a form, from plain data to SVG."""
