"""The search for the cheapest buildable sequence: what it sees of the ground, what it may do, and what it finds."""
