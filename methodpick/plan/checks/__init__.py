"""Proofs of a plan, one file for each: what a stage needs, what it has, and how the ranges of the inputs count.

Every proof is a pure function of ranges and limits. It is called where the plan is decided, and again by whoever verifies a
written plan; nothing here searches or sizes.
"""
