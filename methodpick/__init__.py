"""methodpick: from boring logs to a construction method for every drilled shaft."""

__version__ = "0.2.0"
