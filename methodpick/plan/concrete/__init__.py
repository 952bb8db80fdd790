"""Concrete: the hole as drilled, volumes, placement, and the pulls of temporary casing."""
