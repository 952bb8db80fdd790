"""The support fluid of a plan: what the ground asks at each level, the window, its remedies, and the fluid programme."""
