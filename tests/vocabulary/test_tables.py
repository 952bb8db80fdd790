import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.errors import RuleError
from methodpick.strict_yaml import read
from methodpick.vocabulary.catalogue import catalogue_of
from methodpick.vocabulary.tables import table_of
from methodpick.vocabulary.values import Choice, Span, any_of, known, point

CATALOGUE = catalogue_of(
    read("""facts:
  soil: {type: enum, values: [sand, silt, clay], scope: slice, meaning: soil}
  n: {type: number, unit: "1", domain: [0, 100], scope: slice, meaning: count}
""")
)
TABLE = """table: t
inputs: [soil, n]
outputs: {phi: deg}
rows:
  - {when: {soil: sand, n: [0, 10]}, then: {phi: {low: 28, likely: 30, high: 32}}}
  - {when: {soil: sand, n: [10, 100]}, then: {phi: {low: 32, likely: 35, high: 40}}}
  - {when: {soil: [silt, clay]}, then: {phi: [22, 30]}}
"""
ROWS = {
    ("sand", 0): Span(28, 32, 30),
    ("sand", 1): Span(32, 40, 35),
    ("silt", 0): Span(22, 30),
    ("silt", 1): Span(22, 30),
    ("clay", 0): Span(22, 30),
    ("clay", 1): Span(22, 30),
}
TABLED = table_of(read(TABLE), CATALOGUE)


def test_a_table_gives_the_hull_of_what_may_hold_and_the_likely_row():
    assert TABLED.look_up({"soil": known("sand"), "n": point(4)})["phi"] == Span(28, 32, 30)
    assert TABLED.look_up({"soil": known("sand"), "n": Span(4, 20, 12)})["phi"] == Span(28, 40, 35)
    assert TABLED.look_up({"soil": any_of("sand", "clay"), "n": point(4)})["phi"] == Span(22, 32)
    assert TABLED.look_up({"soil": known("sand"), "n": point(10)})["phi"].likely == 35, "ranges are half open"


def test_the_top_of_the_domain_belongs_to_the_highest_row():
    assert TABLED.look_up({"soil": known("sand"), "n": point(100)})["phi"] == Span(32, 40, 35)


def test_a_missing_input_may_be_anything():
    assert TABLED.look_up({"soil": known("sand")})["phi"] == Span(28, 40)
    assert TABLED.look_up({})["phi"] == Span(22, 40)


@given(st.sampled_from(["sand", "silt", "clay"]), st.floats(0, 100), st.floats(0, 100), st.sets(st.sampled_from(["sand", "silt", "clay"])))
def test_a_set_gives_no_less_than_any_point_in_it(soil, one_end, other_end, more):
    low, high = sorted((one_end, other_end))
    wide = TABLED.look_up({"soil": Choice(frozenset({soil, *more})), "n": Span(low, high)})["phi"]
    for number in (low, high, (low + high) / 2):
        row = ROWS[soil, int(number >= 10)]
        assert wide.low <= row.low
        assert row.high <= wide.high
        assert TABLED.look_up({"soil": known(soil), "n": point(number)})["phi"] == row


def test_overlapping_rows_are_refused_with_a_witness():
    with pytest.raises(RuleError, match="overlaps row 1") as found:
        table_of(read(TABLE.replace("n: [10, 100]", "n: [8, 100]")), CATALOGUE)
    assert "soil = sand" in found.value.render()
    assert "n = 8" in found.value.render()


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("inputs: [soil, n]", "inputs: [soil, m]", "'m' is not one of the words"),
        ("soil: sand, n: [0", "soil: snad, n: [0", "did you mean 'sand'?"),
        ("{phi: [22, 30]}", "{psi: [22, 30]}", "did you mean 'phi'?"),
        ("[22, 30]", "[30, 22]", "not in order"),
        ("rows:", "policy: first\nrows:", "one of unique"),
        ("rows:", "otherwise: zero\nrows:", "one of unknown"),
        ("outputs: {phi: deg}", "outputs: [phi]", "outputs: {name: unit}"),
        ("[silt, clay]}, then", "[]}, then", "no value of 'soil' is left"),
    ],
)
def test_what_is_wrong_with_a_table_is_said(old, new, said):
    with pytest.raises(RuleError) as found:
        table_of(read(TABLE.replace(old, new)), CATALOGUE)
    assert said in found.value.render()


def test_a_row_with_an_unknown_source_is_refused():
    with pytest.raises(RuleError, match="is not in sources"):
        table_of(read(TABLE), CATALOGUE, {})
