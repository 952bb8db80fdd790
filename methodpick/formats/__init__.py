"""What goes out: documents, sheets, records and pictures, each in its formats."""
