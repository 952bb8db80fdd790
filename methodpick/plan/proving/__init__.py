"""From a way of building, of the search or of a written plan, to its checks: every proof is given what it needs. No search, no sizes."""
