"""The lines of the takeoff of one shaft, one file for each group of them; each takes a job and gives its lines."""
