"""What a page says, without any format: every subject has one builder, every sentence stands once."""
