"""From a way of building to its checks: every proof is given the ground, the stages and the casings that it speaks of.

The way may come from the search or from a written plan; nothing here searches or sizes.
"""
