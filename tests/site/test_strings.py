"""The yard against a brute-force twin, and by hand."""

from itertools import combinations, product
from math import inf

import pytest
from effort import examples
from hypothesis import given, settings
from hypothesis import strategies as st

from methodpick.site.pieces import fill
from methodpick.site.sizes import Kind, Size, choose
from methodpick.site.strings import Span, assign_all, at_once, bound, least_strings

LENGTHS = (3, 6, 9)


def partitions(items):
    if not items:
        yield []
        return
    first, rest = items[0], items[1:]
    for part in partitions(rest):
        yield [[first], *part]
        for index, block in enumerate(part):
            yield [*part[:index], [first, *block], *part[index + 1 :]]


def apart(block, needs):
    return all(needs[a].until_h <= needs[b].from_h or needs[b].until_h <= needs[a].from_h for a, b in combinations(block, 2))


def brute_new(lengths, pieces):
    """Try every way of giving every piece to a string or to none."""
    ways = product(range(-1, len(lengths)), repeat=len(pieces))
    return min(
        sum(
            max(0, length - sum(piece for piece, to in zip(pieces, way, strict=True) if to == index))
            for index, length in enumerate(lengths)
        )
        for way in ways
    )


def brute_strings(needs, pieces, longer):
    """Try every partition of the needs into strings, every string as long as its longest need."""
    best = (inf, inf)
    for part in partitions(list(range(len(needs)))):
        lengths = [max(needs[index].length_m for index in block) for block in part]
        fine = all(
            apart(block, needs) and all(length - needs[index].length_m <= longer for index in block)
            for block, length in zip(part, lengths, strict=True)
        )
        if fine:
            best = min(best, (brute_new(lengths, pieces), sum(lengths)))
    return best


spans = st.builds(
    lambda length, start, hours: Span(length, start, start + hours), st.sampled_from(LENGTHS), st.integers(0, 6), st.integers(1, 4)
)


@settings(max_examples=examples(150))
@given(st.lists(spans, min_size=1, max_size=6), st.lists(st.sampled_from([2, 4, 6, 10]), max_size=3), st.sampled_from([inf, 3, 0]))
def test_strings_are_the_least_of_all_partitions(needs, pieces, longer):
    found = least_strings(needs, pieces, longer)
    assert found.exact
    assert (fill(found.lengths_m, pieces).to_get_m, found.metres_m) == brute_strings(needs, pieces, longer)


@settings(max_examples=examples(150))
@given(st.lists(st.sampled_from([3, 6, 9, 12]), max_size=4), st.lists(st.sampled_from([2, 4, 6, 10]), max_size=4))
def test_pieces_leave_the_least_to_get(lengths, pieces):
    found = fill(lengths, pieces)
    assert found.to_get_m == brute_new(lengths, pieces)
    used = sorted(piece for own in found.used_m for piece in own)
    assert all(used.count(piece) <= pieces.count(piece) for piece in used)


@settings(max_examples=examples(100))
@given(st.lists(spans, min_size=1, max_size=9), st.sampled_from([inf, 3]))
def test_every_need_is_served_in_time_and_the_bound_holds(needs, longer):
    found = least_strings(needs, (), longer)
    for index, need in enumerate(needs):
        assert need.length_m <= found.lengths_m[found.serves[index]] <= need.length_m + longer
    for string in range(len(found.lengths_m)):
        assert apart([index for index, own in enumerate(found.serves) if own == string], needs)
    assert sum(bound(needs)) <= found.metres_m
    assert len(found.lengths_m) >= at_once(needs)


def test_a_plain_rule_would_fail_where_the_search_does_not():
    """One long and one short string: the need that ends late must take the short one, though the long one is free at first."""
    needs = [Span(6, 0, 3), Span(6, 1, 5), Span(12, 4, 6)]
    served, complete = assign_all(needs, (12, 6))
    assert complete
    assert served == (0, 1, 0)


SIZES = (Size(1.2, 0.012), Size(1.35, 0.0135), Size(1.5, 0.015))


def kind(least, most):
    return Kind(least - 0.05, most, 0.005, least, 6.0)


def brute_choice(kinds, needs, sizes, yard):
    best = None
    for way in product(sizes, repeat=len(kinds)):
        if all(one.takes(size) for one, size in zip(kinds, way, strict=True)):
            new = metres = 0
            for size in set(way):
                own = [need for need, mine in zip(needs, way, strict=True) if mine == size]
                got, all_m = brute_strings(own, [length for one, length in yard if one == size], inf)
                new, metres = new + got, metres + all_m
            worth = (len(set(way)), new, metres)
            best = worth if best is None else min(best, worth)
    return best


@settings(max_examples=examples(40))
@given(
    st.lists(
        st.tuples(st.sampled_from([kind(1.2, 1.2), kind(1.2, 1.35), kind(1.2, 1.5), kind(1.35, 1.5), kind(1.5, 1.5)]), spans),
        min_size=1,
        max_size=4,
    ),
    st.lists(st.tuples(st.sampled_from(SIZES), st.sampled_from([3, 6, 9])), max_size=2),
)
def test_the_choice_of_sizes_is_the_least_of_all_choices(rows, yard):
    kinds, needs = [row[0] for row in rows], [row[1] for row in rows]
    found = choose(kinds, needs, SIZES, yard)
    new = sum(fill(strings.lengths_m, [length for one, length in yard if one == size]).to_get_m for size, _, strings in found.sizes)
    metres = sum(strings.metres_m for _, _, strings in found.sizes)
    best = brute_choice(kinds, needs, SIZES, yard)
    assert len(found.sizes) == found.least_sizes == best[0]
    assert found.exact
    assert (new, metres) == best[1:]
    assert found.least_m <= metres


def test_a_large_site_has_a_plain_choice_above_its_bound():
    """Thirty sizes a hand apart and thirty kinds: more covers than are tried."""
    sizes = [Size(round(1 + 0.05 * step, 3), 0.02) for step in range(40)]
    kinds = [Kind(one.inside_m, one.outside_m + 0.1, 0.0, one.outside_m, 5.0) for one in sizes[:36]]
    found = choose(kinds, [Span(6, index, index + 1) for index in range(36)], sizes, [])
    assert not found.exact
    assert 0 < found.least_sizes <= len(found.sizes)
    assert found.least_m <= sum(strings.metres_m for _, _, strings in found.sizes)


@pytest.mark.parametrize(("a_day", "hours", "strings"), [(2, 15, 3), (1, 10, 1), (1, 12, 2)])
def test_strings_are_shafts_a_day_by_days_in_the_ground_rounded_up(a_day, hours, strings):
    """The trade's rule: strings = ceil(shafts a day x days of residence); days of 10 h (common practice, no source)."""
    needs = [Span(6, index * 10 / a_day, index * 10 / a_day + hours) for index in range(12)]
    assert len(least_strings(needs).lengths_m) == strings
