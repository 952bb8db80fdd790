"""What a plan says of itself: intervals with their reasons, notes, the decision, the record of the log."""
