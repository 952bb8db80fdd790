"""The command line: one file per command; heavy parts are imported when a command runs."""
