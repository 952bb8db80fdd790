"""The proofs of a plan, one file each.

A check is a pure function over records of :mod:`methodpick.plan.result` and formulas of :mod:`methodpick.mechanics`: it tells what
a stage needs, what it has and what margin is left. Sequence, casing, fluid and concrete may call checks; checks call none of them.
"""
