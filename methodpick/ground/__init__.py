"""What is there: borings, layers, tests, water, shafts and the site. Frozen models, no decisions."""
