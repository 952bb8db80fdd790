"""Files in: one module per format. They see the ground and what lies below it, and decide nothing."""
