"""The stages that a foreman follows, and the facts of the finished hole that the stage rules judge."""
