"""Forty rules of the shipped rulebook about a slice in one support state, their facts, and random places to try them at."""

import random

from methodpick.engine.rule import Compare, FactRef, LimitRef, Number, atoms
from methodpick.vocabulary.values import Choice, Span, known, point

FACTS = frozenset(
    (
        "soil",
        "consistency",
        "water_position",
        "cohesive",
        "sensitive",
        "fissured",
        "cemented",
        "cavities",
        "over_water",
        "collapsible",
        "blowing_seen",
        "in_socket",
        "overload_share",
        "overload_ratio",
        "uplift_factor",
        "support_margin_kpa",
        "support_wanted_margin_kpa",
        "cohesion_margin_kpa",
        "fluid_head_m",
        "bulging_ratio",
        "closure_percent",
        "fines_percent",
        "head_above_ground_m",
    )
)
COUNT = 40


def forty_rules(book):
    """Give the rules that ask for the most facts among those that ask for no other than FACTS; ties in the order of the book."""
    fitting = [rule for scope in ("slice_state", "slice") for rule in book.scopes[scope].rules if FACTS.issuperset(rule.facts)]
    return tuple(sorted(fitting, key=lambda rule: -len(rule.facts))[:COUNT])


def facts_used(rules):
    return tuple(sorted({name for rule in rules for name in rule.facts}))


def _around(book):
    """Give for every number a range that reaches as far beyond its limits as these are large, so that rules come and go."""
    limits = {}
    for rule in book.rules:
        for atom in atoms(rule.condition):
            if isinstance(atom, Compare) and isinstance(atom.left, FactRef) and isinstance(atom.right, (LimitRef, Number)):
                limits.setdefault(atom.left.name, []).append(atom.right.value)
    found = {}
    for name, values in limits.items():
        reach, domain = max([1.0, *map(abs, values)]), book.catalogue.facts[name].domain
        found[name] = max(domain.low, min(values) - reach), min(domain.high, max(values) + reach)
    return found


def plain_places(book, names, count, seed=1):
    """Give places where every fact is known: a number, a word, True or False."""
    draw, around = random.Random(seed), _around(book)  # noqa: S311 - places to try, no secret

    def value(spec):
        if spec.kind == "number":
            return draw.uniform(*around[spec.name])
        return draw.choice(spec.words) if spec.kind == "enum" else draw.random() < 0.5

    return [{name: value(book.catalogue.facts[name]) for name in names} for _ in range(count)]


def as_points(place):
    """Give a plain place as sets of one value each."""
    return {
        name: known("yes" if value else "no") if isinstance(value, bool) else known(value) if isinstance(value, str) else point(value)
        for name, value in place.items()
    }


def wide_places(book, names, count, seed=2):
    """Give places where every fact is a range or two words, with a likely value."""
    draw, around = random.Random(seed), _around(book)  # noqa: S311 - places to try, no secret

    def value(spec):
        if spec.kind == "number":
            low, likely, high = sorted(draw.uniform(*around[spec.name]) for _ in range(3))
            return Span(low, high, likely)
        words = draw.sample(spec.words, 2)
        return Choice(frozenset(words), words[0])

    return [{name: value(book.catalogue.facts[name]) for name in names} for _ in range(count)]
