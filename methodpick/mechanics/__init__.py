"""Hole-stability mechanics: small pure functions, SI in, SI out, each with its source, range and worked example."""
