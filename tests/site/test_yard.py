"""The yard against a brute-force twin, and by hand."""

from itertools import combinations, permutations, product
from math import inf
from types import SimpleNamespace

import pytest
from effort import examples
from hypothesis import given, settings
from hypothesis import strategies as st

from methodpick.site.casing_choice import best_choice
from methodpick.site.result import CutPart, StringNeed
from methodpick.site.yard import SizedNeed, TradeLengths, _hours_scale, _parts_of, _string, trade_lengths
from methodpick.site.yard_sizes import SizeNeed, YardSize, choose_sizes
from methodpick.site.yard_strings import TimedLength, at_once, bound, fill, least_strings, serve_all
from methodpick.vocabulary.values import point

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
    """Lay pieces, cut where a string ends, one behind the other along the strings laid end to end: what is not covered is new."""
    return max(0, sum(lengths) - sum(pieces))


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
    lambda length, start, hours: TimedLength(length, start, start + hours), st.sampled_from(LENGTHS), st.integers(0, 6), st.integers(1, 4)
)


@settings(max_examples=examples(150))
@given(st.lists(spans, min_size=1, max_size=6), st.lists(st.sampled_from([2, 4, 6, 10]), max_size=3), st.sampled_from([inf, 3, 0]))
def test_strings_are_the_least_of_all_partitions(needs, pieces, longer):
    strings = least_strings(needs, pieces, longer)
    assert strings.exact
    assert (fill(strings.lengths_m, pieces).to_get_m, strings.metres_m) == brute_strings(needs, pieces, longer)


@settings(max_examples=examples(150))
@given(st.lists(st.sampled_from([3, 6, 9, 12]), max_size=4), st.lists(st.sampled_from([2, 4, 6, 10]), max_size=4))
def test_pieces_leave_the_least_to_get(lengths, pieces):
    use = fill(lengths, pieces)
    assert use.to_get_m == brute_new(lengths, pieces)
    longest_first = sorted(pieces, reverse=True)
    for number in {part.piece for own in use.parts for part in own}:
        parts = [part.length_m for own in use.parts for part in own if part.piece == number]
        assert sum(parts) == longest_first[number], "no metre of a piece is used twice, and none is lost"
    for length, own in zip(lengths, use.parts, strict=True):
        assert len({part.piece for part in own}) == len(own)
        assert sum(part.length_m for part in own[:-1]) < length or not own, "no string gets a part that it does not lack"


def brute_joints(lengths, pieces):
    """Try every order of the pieces and of the strings, each piece cut where a string ends, and every way of leaving pieces aside."""
    best = inf
    for kept in (subset for size in range(len(pieces) + 1) for subset in combinations(pieces, size)):
        if max(0, sum(lengths) - sum(kept)) == brute_new(lengths, pieces):
            for order in set(permutations(kept)):
                best = min(best, *(joints_of(strings, order) for strings in set(permutations(lengths))))
    return best


def joints_of(strings, pieces):
    """Count the joints where pieces are laid one behind the other along the strings; a string that is filled is not spliced on."""
    ends = [sum(pieces[: place + 1]) for place in range(len(pieces))]
    start = joints = 0
    for length in strings:
        joints += sum(start < end < start + length for end in ends)
        start += length
    return joints


@settings(max_examples=examples(60))
@given(st.lists(st.sampled_from([3, 6, 9]), min_size=1, max_size=3), st.lists(st.sampled_from([2, 4, 6, 12]), max_size=3))
def test_no_laying_of_the_pieces_end_to_end_has_fewer_joints(lengths, pieces):
    assert fill(lengths, pieces).joints <= brute_joints(lengths, pieces)


def test_what_is_cut_off_serves_another_string():
    """A piece of 12 m is a string of 9 m and one of 3 m: nothing is bought, and both cuts are written."""
    use = fill([9, 3], [12])
    assert (use.to_get_m, use.cuts, use.joints, use.left_m) == (0, 1, 0, 0)
    parts = [_parts_of(use, string) for string in (0, 1)]
    assert parts == [(CutPart(9, 12),), (CutPart(3, 12),)]
    trade = TradeLengths(step_m=1.0, longer_m=3.0, delivered_m=12.192)
    made = [_string("S", YardSize(1.2, 0.012), length, (), own, trade) for length, own in zip((9.0, 3.0), parts, strict=True)]
    assert [string.cuts for string in made] == parts
    assert [string.to_get_m for string in made] == [0, 0]


@settings(max_examples=examples(100))
@given(st.lists(spans, min_size=1, max_size=9), st.sampled_from([inf, 3]))
def test_every_need_is_served_in_time_and_the_bound_holds(needs, longer):
    strings = least_strings(needs, (), longer)
    for index, need in enumerate(needs):
        assert need.length_m <= strings.lengths_m[strings.serves[index]] <= need.length_m + longer
    for string in range(len(strings.lengths_m)):
        assert apart([index for index, own in enumerate(strings.serves) if own == string], needs)
    assert sum(bound(needs)) <= strings.metres_m
    assert len(strings.lengths_m) >= at_once(needs)


def test_a_plain_rule_would_fail_where_the_search_does_not():
    """One long and one short string: the need that ends late must take the short one, though the long one is free at first."""
    needs = [TimedLength(6, 0, 3), TimedLength(6, 1, 5), TimedLength(12, 4, 6)]
    served, complete = serve_all(needs, (12, 6))
    assert complete
    assert served == (0, 1, 0)


def test_a_string_that_is_given_back_is_free_only_when_the_needs_before_it_are_over():
    """Two strings of 12 m and one of 3 m. From 2 and 3 h on both long ones are in use, so that the short one goes in at 2 h until 6 h.

    At 5 h another 3 m are asked for: the long string that came free at 4 h, until 8 h; the other is in use until 7 h, and for the 9 m
    asked for at 6 h there is none.
    """
    needs = [TimedLength(6, 0, 2), TimedLength(9, 2, 4), TimedLength(3, 2, 6), TimedLength(9, 3, 7), TimedLength(3, 5, 8)]
    assert serve_all([*needs, TimedLength(9, 6, 9)], (12, 12, 3)) == (None, True)
    served, complete = serve_all([*needs, TimedLength(9, 7, 9)], (12, 12, 3))
    assert complete
    assert served[2] == 2
    assert served[5] == served[3] != served[1]


SIZES = (YardSize(1.2, 0.012), YardSize(1.35, 0.0135), YardSize(1.5, 0.015))


def kind(least, most):
    return SizeNeed(least - 0.05, most, 0.005, least, 6.0)


def brute_choice(kinds, needs, sizes, yard):
    best = None
    for way in product(sizes, repeat=len(kinds)):
        alike = len(set(zip(kinds, way, strict=True))) == len(set(kinds))  # needs of a kind share a size: alike shafts are built alike
        if alike and all(need.served_by(size) for need, size in zip(kinds, way, strict=True)):
            new = metres = 0
            for size in set(way):
                served = [need for need, mine in zip(needs, way, strict=True) if mine == size]
                got, all_m = brute_strings(served, [length for own, length in yard if own == size], inf)
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
    choice = choose_sizes(list(zip(kinds, needs, strict=True)), SIZES, yard)
    new = sum(fill(strings.lengths_m, [length for own, length in yard if own == size]).to_get_m for size, _, strings in choice.sizes)
    metres = sum(strings.metres_m for _, _, strings in choice.sizes)
    best = brute_choice(kinds, needs, SIZES, yard)
    assert len(choice.sizes) == choice.least_sizes == best[0]
    assert choice.exact
    assert (new, metres) == best[1:]
    assert choice.least_m <= metres


def test_a_large_site_has_a_plain_choice_above_its_bound():
    """Thirty sizes a hand apart and thirty kinds: more covers than are tried."""
    sizes = [YardSize(round(1 + 0.05 * step, 3), 0.02) for step in range(40)]
    kinds = [SizeNeed(size.inside_m, size.outside_m + 0.1, 0.0, size.outside_m, 5.0) for size in sizes[:36]]
    choice = choose_sizes([(kind, TimedLength(6, index, index + 1)) for index, kind in enumerate(kinds)], sizes, [])
    assert not choice.exact
    assert 0 < choice.least_sizes <= len(choice.sizes)
    assert choice.least_m <= sum(strings.metres_m for _, _, strings in choice.sizes)


@pytest.mark.parametrize(("a_day", "hours", "strings"), [(2, 15, 3), (1, 10, 1), (1, 12, 2)])
def test_strings_are_shafts_a_day_by_days_in_the_ground_rounded_up(a_day, hours, strings):
    """The trade's rule: strings = ceil(shafts a day x days of residence); days of 10 h (common practice, no source)."""
    needs = [TimedLength(6, index * 10 / a_day, index * 10 / a_day + hours) for index in range(12)]
    assert len(least_strings(needs).lengths_m) == strings


def test_a_starter_of_the_yard_need_not_be_as_wide_inside_as_planned():
    """A string of 1372 mm passes a starter 1524 mm wide with a wall of 20 mm, 1484 mm inside, by hand; a new one of 11 mm is not needed.

    Planned, the starter is 1502 mm inside, so that the string in it could be wider; nobody asks for that here.
    """
    planned, narrow = SizeNeed(1.502, 1.524, 0.005, 1.524, 3.0), SizeNeed(1.372 + 0.0508, 1.524, 0.005, 1.524, 3.0)
    record = StringNeed("P1", "starter", 1.524, 0.011, 4.0, 0.0, 5.0)
    string = SizeNeed(1.2, 1.372, 0.005, 1.372, 9.0)
    inner = StringNeed("P1", "temporary", 1.372, 0.014, 10.0, 1.0, 5.0)
    needs = [SizedNeed(record, planned, narrow), SizedNeed(inner, string, string)]
    times = [TimedLength(need.record.length_m, need.record.from_h, need.record.until_h) for need in needs]
    sizes = [YardSize(1.524, 0.011), YardSize(1.524, 0.02), YardSize(1.372, 0.014)]
    trade = TradeLengths(step_m=1.0, longer_m=3.0, delivered_m=12.192)
    choice = best_choice(needs, times, sizes, [(YardSize(1.524, 0.02), 6.0)], trade)
    assert {size for size, _, _ in choice.sizes} == {YardSize(1.524, 0.02), YardSize(1.372, 0.014)}
    assert choice.worth[:2] == (2, 10.0), "two sizes, and only the string to get"
    as_planned = [SizedNeed(record, planned, planned), needs[1]]
    assert best_choice(as_planned, times, sizes, [(YardSize(1.524, 0.02), 6.0)], trade).worth[:2] == (2, 14.0)


@pytest.mark.parametrize(("total", "by_rates", "scale"), [(12.0, True, 2.0), (2.0, True, 1.0), (12.0, False, 1.0)])
def test_the_hours_of_the_user_over_those_of_the_stages(total, by_rates, scale):
    """10 of 12 h at the shaft over 5 h planned; a row with nothing but the move says nothing of the shaft."""
    planned = SimpleNamespace(stages=(SimpleNamespace(hours=5.0), SimpleNamespace(hours=None)))
    assert _hours_scale(planned, SimpleNamespace(total=point(total), move=point(2.0), by_rates=by_rates), "likely") == scale


@pytest.mark.parametrize(
    ("length_m", "pieces_m", "whole_m", "from_yard_m", "to_get_m"),
    [(10.0, (12.0,), 12.0, 12.0, 0.0), (10.0, (14.0,), 10.0, 10.0, 0.0), (10.0, (6.0,), 10.0, 6.0, 4.0), (10.0, (), 10.0, 0.0, 10.0)],
)
def test_a_string_is_made_of_the_yard_s_pieces_and_of_new_casing(length_m, pieces_m, whole_m, from_yard_m, to_get_m):
    """A piece that is at most 3 m too long stays whole; a longer one is cut to length; what a short one lacks is bought."""
    trade = TradeLengths(step_m=1.0, longer_m=3.0, delivered_m=12.192)
    made = _string("S1", YardSize(1.2, 0.012), length_m, (), tuple(CutPart(piece_m, piece_m) for piece_m in pieces_m), trade)
    assert (made.length_m, made.from_yard_m, made.to_get_m) == (whole_m, from_yard_m, to_get_m)
    assert made.cuts == ((CutPart(10.0, 14.0),) if pieces_m == (14.0,) else ())


def test_a_string_serves_the_next_shaft_in_the_hour_in_which_it_comes_out():
    """0.1 h and 0.2 h are 0.3 h, whatever the last binary digit of the sum says."""
    assert 0.1 + 0.2 > 0.3
    assert serve_all([TimedLength(6, 0.0, 0.1 + 0.2), TimedLength(6, 0.3, 1.0)], (6,)) == ((0, 0), True)
    assert serve_all([TimedLength(6, 0.0, 0.31), TimedLength(6, 0.3, 1.0)], (6,)) == (None, True)


def test_casing_is_traded_as_the_limits_say():
    job = SimpleNamespace(limit={"trade_length_m": 0.5, "string_longer_most_m": 3.0, "splice_length_m": 12.192}.get)
    assert trade_lengths([job]) == TradeLengths(step_m=0.5, longer_m=3.0, delivered_m=12.192)
    assert trade_lengths([]).step_m > 0, "a site without shafts asks for nothing"
