"""The lines of the takeoff of one shaft: what is dug, the steel, and what fills the hole; each takes a job and returns its lines."""
