"""Every limit of the shipped rulebook says which way is careful and what it can plausibly be; an overlay cannot leave that."""

import pytest

from methodpick.engine.load import lay_over
from methodpick.errors import RuleError
from methodpick.resources import folder
from methodpick.strict_yaml import read
from methodpick.units import _READ

RECORDS = read(folder("rules") / "limits.yaml").value["limits"]


@pytest.mark.parametrize("key", ["safe", "range"])
def test_every_record_has_its_safe_side_and_its_range(key):
    assert [name for name, entry in RECORDS.items() if key not in entry] == []


def test_no_range_is_without_an_end_that_stops_a_slip_of_units(book):
    """A factor of twelve or a thousand (inches for feet, millimetres for metres) on a length must leave its range on one side."""
    lengths = [limit for limit in book.limits.values() if limit.unit == "m" and limit.value]
    assert [limit.name for limit in lengths if limit.value * 1000 <= limit.most] == []


def test_no_denominator_may_be_zero(book):
    """Found by attack: each of these divided by zero, or an order of trials never ended."""
    for name in ("casing_step_m", "splice_length_m", "water_density_kg_m3", "handling_slenderness", "wall_step_m", "trade_length_m"):
        assert book.limits[name].least > 0


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("collapse_safety", 0.01),
        ("wall_factor_least", 0.01),
        ("stick_up_m", -50),
        ("mineral_density_max_kg_m3", 1e299),
        ("casing_step_m", 0),
    ],
)
def test_a_value_that_cannot_be_is_refused_even_with_a_reason(book, name, value):
    with pytest.raises(RuleError, match=f"cannot be '{name}'") as found:
        lay_over(book, read(f"overlay: ours\nset: {{{name}: {{value: {value!r}, reason: we know better}}}}\n"))
    assert "expected: " in found.value.render()


@pytest.mark.parametrize("key", ["safe: lower", "range: [0, 9]"])
def test_an_overlay_cannot_widen_the_range_or_turn_the_safe_side(book, key):
    with pytest.raises(RuleError, match="an overlay cannot set"):
        lay_over(book, read(f"overlay: ours\nset: {{collapse_safety: {{value: 1.5, reason: r, {key}}}}}\n"))


def test_every_unit_of_a_fact_or_limit_is_read_in_both_systems(book):
    """A unit that the table of units does not have would stand on a US page as it is kept: "1.17 m2"."""
    units = {record.unit: record.name for record in (*book.limits.values(), *book.catalogue.facts.values()) if record.unit}
    lacking = {unit: name for unit, name in units.items() if unit not in _READ}
    assert lacking == {}, "say in _READ of units.py how a reader has them"
