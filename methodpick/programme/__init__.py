"""Many files of one kind of work: over parallel processes, with a file of results that a run which was stopped goes on from."""
