"""What goes out: one file for each format."""
