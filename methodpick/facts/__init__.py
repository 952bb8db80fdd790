"""From ground to named values: one small function per fact of the catalogue, and the cutting of a shaft into slices."""
