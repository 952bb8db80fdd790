"""Pictures of a plan as SVG, drawn from the result records: each one text without a reference outside it, patterns beside colour."""
