"""The derivation: every rule of a verdict is told, down to the logged line, the limit and the source."""

import pytest

from methodpick.errors import InputError
from methodpick.unit_markup import spell
from methodpick.why.explanation import explain_depth
from methodpick.why.flips import shaft_question


def texts(nodes):
    for node in nodes:
        yield spell(node.text, "si")
        yield from texts(node.parts)


@pytest.fixture(scope="module")
def ask(site, planned, book):
    def asked(name, depth_m, **more):
        shaft = planned(name).shafts[0]
        return explain_depth(shaft_question(site(name), book, shaft.id), shaft, depth_m, **{"flips": False, **more})

    return asked


def test_why_not_dry_names_the_hazard_the_condition_the_log_and_the_source(ask):
    told = "\n".join(texts(ask("caving-lens", 7.3, not_states=["dry"]).derivation))
    assert "dry: ruled out" in told
    assert "granular-below-water-flows (must, caving) speaks against it and holds" in told
    assert "water_position == below: holds" in told
    assert "symbol SP" in told
    assert "N = 14 at 7.16 m" in told
    assert "source: " in told


def test_every_rule_of_the_verdict_is_in_the_tree(ask, planned):
    for name in ("caving-lens", "karst", "soft-clay-over-rock-thin", "artesian-sand"):
        for interval in planned(name).shafts[0].intervals:
            depth = (interval.top_m + interval.base_m) / 2
            told = "\n".join(texts(ask(name, depth, not_states=["dry", "polymer", "cased_plug"]).derivation))
            for state in ("dry", "polymer", "cased_plug"):
                for rule in interval.verdicts[state].rules:
                    assert f"{rule} (" in told


def test_a_formula_is_shown_with_its_numbers_and_they_give_its_result(ask):
    # soft clay at 10.4 m under a rig: OR = (stress + surcharge - inside) / su, recomputed here from the numbers printed
    told = list(texts(ask("soft-clay-over-rock-thin", 10.4, not_states=["dry"]).derivation))
    line = next(text for text in told if text.startswith("formula overload_ratio"))
    words = line.replace(",", "").replace(":", "").split()
    stress, inside, su = (float(words[words.index(name) + 1]) for name in ("total_stress_kpa", "inside_pressure_kpa", "su_kpa"))
    result = float(words[words.index("su_kpa") + 3])
    assert result == pytest.approx((stress - inside) / su, rel=0.05)


def test_an_assumption_is_named_where_a_fact_rests_on_it(ask):
    told = "\n".join(texts(ask("saturated-sand", 12.0).derivation))
    assert "rests on the assumption water-season" in told


def test_a_number_that_keeps_a_rule_silent_is_told_with_its_limit(ask):
    told = "\n".join(texts(ask("saturated-sand", 12.0).derivation))
    assert "rules against it that a number keeps silent" in told
    assert "fluid_head_m < fluid_head_least_m: does not hold" in told


def test_what_was_told_once_is_only_named_again(ask):
    told = list(texts(ask("soft-clay-over-rock-thin", 10.4, not_states=["dry"]).derivation))
    full = [text for text in told if text.startswith("su_kpa = ") and "as above" not in text]
    assert len(full) == 1


def test_the_other_states_and_ways_are_named(ask, planned):
    answer = ask("caving-lens", 7.3)
    assert any(text.startswith("dry: ruled out (") for text in answer.other_states)
    assert len(answer.other_ways) == len(planned("caving-lens").shafts[0].alternates)
    assert answer.flips is None


def test_ground_of_which_the_log_says_nothing_is_said_so(ask, planned):
    shaft = planned("descriptions-only").shafts[0]
    assert shaft.intervals
    told = "\n".join(texts(ask("descriptions-only", 1.0).derivation))
    assert "boring" in told


def test_a_depth_outside_the_shaft_is_refused(ask):
    with pytest.raises(InputError, match="outside the shaft"):
        ask("caving-lens", 99.0)
