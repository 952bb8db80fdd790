"""What else could be built, priced side by side; and what changed between two revisions of a site, and because of which input."""
