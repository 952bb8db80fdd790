"""The console report: an engineer's page per shaft, from the result records only."""
