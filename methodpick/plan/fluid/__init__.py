"""The support fluid of a plan: its levels, the density aimed at, ways out of an empty window, and the fluid programme."""
