"""The page's section of checks and the decision's smallest margins, on records made by hand."""

from dataclasses import replace

import pytest

from methodpick.document.checks import TRIALS_ENDED, check_rows, checks, numbers_of, smallest_margins
from methodpick.document.decision import decision
from methodpick.document.model import Items, Paragraph
from methodpick.plan.result import Check, Ends
from methodpick.unit_markup import spell


def made(name, stage, needed, has, result="holds", unit="h", **more):
    ends = (Ends(None if one is None else one, one, one) for one in (needed, has, None if needed is None else has - needed))
    return Check(name, stage, f"{name} in stage {stage}.", *ends, unit, None, {}, (), None, (), result, 0.0, 5.0, **more)


@pytest.fixture
def shaft(planned):
    return planned("caving-lens").shafts[0]


def test_each_check_stands_once_where_its_margin_is_least(shaft):
    """Of 10 for 8, 9 for 8 and 30 for 8 hours the second is the least."""
    rows = check_rows(replace(shaft, checks=tuple(made("open-time", stage, 8.0, has) for stage, has in ((2, 10.0), (4, 9.0), (6, 30.0)))))
    assert [row[:2] for row in rows] == [("4", "time open, time standing")]
    assert rows[0][5] == "holds"


def test_a_worse_result_goes_before_a_smaller_margin(shaft):
    two = (made("open-time", 2, 8.0, 8.1), made("open-time", 4, 8.0, 30.0, "open_range"))
    assert [row[0] for row in check_rows(replace(shaft, checks=two))] == ["4"]


def test_the_smallest_margins_are_of_the_ground_and_not_of_sizes_of_the_trade(shaft):
    """Shares of what is needed: 0.05, 0.1, 0.5 and 1; the casing's wall just fits, as it was chosen to."""
    many = [made(name, 1, 10.0, has) for name, has in (("a", 20.0), ("b", 11.0), ("c", 15.0), ("d", 10.5), ("casing-wall-driving", 10.0))]
    assert smallest_margins(replace(shaft, checks=tuple(many))) == tuple(f"⟦0.0~5.0|m⟧: {name} in stage 1." for name in "dbc")


def test_what_is_open_comes_with_what_to_do(shaft):
    doubtful = made("uplift", 3, 1.1, 1.2, "open_range", "1", remedy="Keep it full.")
    (items,) = [block for block in checks(replace(shaft, checks=(doubtful,))).blocks if isinstance(block, Items)]
    assert items.entries == ("Uplift, open at worst: Keep it full.",), "what it found stands among the smallest margins"
    unmeasured = replace(doubtful, id="seal", needed=Ends(None, None, None), margin=Ends(None, None, None))
    (items,) = [block for block in checks(replace(shaft, checks=(unmeasured,))).blocks if isinstance(block, Items)]
    assert items.entries == ("Seal, open at worst: uplift in stage 3. Keep it full.",)


def test_a_plan_whose_trials_ended_says_so_as_a_danger(shaft):
    dangers = {
        proven: [each for each in decision(replace(shaft, proven=proven)).blocks if isinstance(each, Paragraph) and each.tone == "danger"]
        for proven in (True, False)
    }
    assert dangers[True] == []
    assert [each.text for each in dangers[False]] == [TRIALS_ENDED]


def test_a_check_that_fails_stands_beside_the_decision_as_a_danger_with_what_to_do(shaft):
    failing = made("bell-dry", 3, None, None, "fails", "1", remedy="Make the shaft wider.")
    unproven = replace(shaft, checks=(failing,), proven=False)
    said = [each.text for each in decision(unproven).blocks if isinstance(each, Paragraph) and each.tone == "danger"]
    assert said == ["Not proven; settle this before it is built: bell-dry in stage 3. Make the shaft wider."]


def test_a_proven_plan_has_no_danger_beside_its_decision(shaft):
    assert not [each for each in decision(shaft).blocks if isinstance(each, Paragraph) and each.tone == "danger"]


@pytest.mark.parametrize("name", ["saturated-sand", "stiff-clay", "viaduct"])
def test_a_safety_without_water_below_is_unlimited_and_no_number(planned, book, name):
    """Nothing lifts a base under which no water stands; 1000 is the end of what the fact may be, and no safety."""
    shafts = planned(name).shafts
    ends = {rule.id for rule in book.rules if "uplift_factor" in rule.facts}
    of_base = [check for shaft in shafts for check in shaft.checks if check.rule in ends]
    assert any(check.has.ends == (None, None, None) == check.margin.ends for check in of_base)
    assert max((end for check in of_base for end in check.has.ends if end is not None), default=0.0) < 1000.0
    assert any("is unlimited, at least" in check.what for check in of_base)
    rows = [row for shaft in shafts for row in check_rows(shaft) if row[1] == "base lifts by water below"]
    assert ("unlimited", "unlimited") in {row[3:5] for row in rows}


def test_the_numbers_of_an_open_rule_are_told_without_a_likely_end(shaft):
    """Where the likely value has no end, what is at worst and the limit still stand."""
    check = replace(made("base-lifts", 3, 1.1, 1.05, "open_range", "1"), rule="base-lifts", has=Ends(1.05, None, None))
    assert numbers_of([replace(shaft, checks=(check,))], "base-lifts") == " (⟦1.05|1|bare⟧ at worst; limit ⟦1.1|1⟧)"


def test_a_worst_that_is_no_measure_any_more_is_no_number(shaft):
    """441 times what the clay bears comes from a strength of next to nothing: more than twenty times is told as far more."""
    for worst, told in ((441.8, "far more at worst"), (6.0, "⟦6.0|1|bare⟧ at worst")):
        check = replace(
            made("clay-wall-collapses", 3, 1.0, worst, "open_range", "1"), rule="clay-wall-collapses", has=Ends(worst, 0.58, 0.5)
        )
        assert told in numbers_of([replace(shaft, checks=(check,))], "clay-wall-collapses")


def test_the_numbers_of_several_kinds_are_told_from_the_least_to_the_most_with_the_worst_by_its_name(shaft):
    kinds = [
        replace(
            shaft,
            id=name,
            checks=(
                replace(made("lifts", 3, 1.1, 1.2, "open_range", "1"), rule="lifts", has=Ends(*ends), margin=Ends(ends[0] - 1.1, 0.0, 0.0)),
            ),
        )
        for name, ends in (("A", (1.05, 1.2, 1.3)), ("B", (0.98, 1.4, 1.5)))
    ]
    assert spell(numbers_of(kinds, "lifts"), "si") == " (1.2 to 1.4, 0.98 at worst, B; limit 1.1)"
