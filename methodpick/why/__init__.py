"""Why a depth is held as it is, and the nearest change that would hold it otherwise."""
