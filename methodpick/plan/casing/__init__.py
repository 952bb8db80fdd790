"""Casings: sizes and walls, strings with their seats, and the pressure outside a shoe."""
