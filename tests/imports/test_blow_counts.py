"""Blow counts as logs have them (ASTM D1586: N is the sum of the second and third 6 in; refusal is never scaled)."""

import pytest

from methodpick.errors import InputError
from methodpick.imports.site_file import read_site


def boring_of(tests="[]", n="[]", units="us", top=0, base=30):
    return read_site(
        f"methodpick: 1\nsite: {{units: {units}}}\nborings:\n  - id: B-1\n    layers: "
        f"[{{top: {top}, base: {base}, n: {n}}}]\n    spt: {tests}\n"
    )[0].borings[0]


def spt_of(written, units="us"):
    return boring_of(f"[{{depth: 5, n: {written}}}]", units=units).spt[0]


@pytest.mark.parametrize(
    ("written", "units", "penetration_m"),
    [
        ("50/3in", "us", 0.0762),
        ("50/3 in", "si", 0.0762),
        ("50/3", "us", 0.0762),
        ("'50/3\"'", "us", 0.0762),
        ("50/75mm", "us", 0.075),
        ("50/75", "si", 0.075),
        ("100 / 2.5in", "us", 0.0635),
    ],
)
def test_refusal_keeps_blows_and_penetration(written, units, penetration_m):
    test = spt_of(written, units)
    assert test.penetration_m == penetration_m
    assert test.n == (100 if written.startswith("100") else 50)
    assert test.refusal
    assert test.text


@pytest.mark.parametrize("written", ["WOH", "woh", "WOR", "WOH/18in", "weight of hammer", "WH"])
def test_rods_that_sank_by_themselves_count_nothing(written):
    test = spt_of(written)
    assert (test.weight_of_hammer, test.n, test.refusal) == (True, 0, False)


def test_fifty_over_a_foot_is_a_count_and_no_refusal():
    assert not spt_of("50/12in").refusal


@pytest.mark.parametrize(("blows", "n"), [("[3, 5, 6]", 11), ("[3, 5, 6, 9]", 11), ("[WOH, 1, 1]", 2)])
def test_n_follows_from_the_blows_where_it_is_not_given(blows, n):
    assert boring_of(f"[{{depth: 5, blows: {blows}}}]").spt[0].n == n


def test_refusal_in_the_last_interval_is_kept():
    test = boring_of("[{depth: 5, blows: [18, 32, 50/3in]}]").spt[0]
    assert (test.n, test.penetration_m, test.blows) == (50, 0.0762, (18, 32, 50))


def test_a_stated_n_stands_beside_its_blows():
    test = boring_of("[{depth: 5, n: 12, blows: [3, 5, 6]}]").spt[0]
    assert (test.n, test.blows) == (12, (3, 5, 6))


def test_counts_of_a_layer_stay_with_it_and_refusals_become_tests_spread_over_it():
    boring = boring_of(n="[18, 50/3in, 23, WOH]", units="si", top=10, base=18)
    assert boring.layers[0].n == (18, 23)
    assert [(test.depth_m, test.n, test.penetration_m, test.weight_of_hammer) for test in boring.spt] == [
        (13.0, 50, 0.0762, False),
        (17.0, 0, None, True),
    ]


@pytest.mark.parametrize(("n", "kept"), [("11", (11,)), ("[11]", (11,)), ("11.0", (11,)), ("'11'", (11,))])
def test_one_count_of_a_layer_needs_no_list(n, kept):
    assert boring_of(n=n).layers[0].n == kept


def test_tests_are_sorted_by_depth():
    boring = boring_of("[{depth: 9, n: 3}, {depth: 4, n: 2}]", n="50/2in", units="si")
    assert [test.depth_m for test in boring.spt] == [4, 9, 15]


@pytest.mark.parametrize(
    ("written", "message", "hint"),
    [
        ("refusal", "'refusal' is not a blow count", "for example 50/3in"),
        ("'>50'", "'>50' is not a blow count", "for example 50/3in"),
        ("50+", "'50+' is not a blow count", "for example 50/3in"),
        ("-4", "n -4 cannot be", "correct the number"),
        ("5000", "n 5000 cannot be", "for example 50/3in"),
        ("4.5", "4.5 is not a blow count", "leave 'n' out"),
        ("50/3ft", "'50/3ft' cannot be", "name the unit"),
        ("50/0in", "'50/0in' cannot be", "name the unit"),
        ("50/3kPa", "the penetration in '50/3kPa' is not a length", ""),
        ("[5]", "a list is not a blow count", "leave 'n' out"),
        ("yes", "'yes' is not a blow count", "leave 'n' out"),
        ("true", "true is not a blow count", "leave 'n' out"),
    ],
)
def test_what_is_no_count_is_refused_with_its_place(written, message, hint):
    with pytest.raises(InputError) as caught:
        spt_of(written)
    (problem,) = caught.value.problems
    assert message in problem.message
    assert hint in problem.hint
    assert (problem.place.line, problem.place.text[problem.place.column - 1 :][:1]) == (6, str(written)[:1])


def test_a_test_without_any_count_is_refused():
    with pytest.raises(InputError, match="spt, entry 1 has no 'n'"):
        boring_of("[{depth: 5}]")
