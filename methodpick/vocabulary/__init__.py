"""The words that facts and rules share: what a fact is, which facts exist, limits, sources, class tables."""
