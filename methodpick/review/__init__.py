"""A second pair of eyes: holds a written plan against its ground, its rules and its own words, without the planner's search or sizes."""
