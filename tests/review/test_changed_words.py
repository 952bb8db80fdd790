"""Changes of what a plan says of itself are found, all in one plan, each at its place: hours, volumes, reasons, notes, costs."""

import pytest

from methodpick.plan.reasons.notes import FAMILY_WORDS
from methodpick.review.verify import verify


def _at(tree, path):
    at = tree["shafts"][0]
    for part in path:
        at = at[part]
    return at


CHANGES = {
    "hours of drilling": (("stages", 7, "hours"), lambda hours: hours + 0.5, "plan, stage 8: hours"),
    "hours of a casing": (("stages", 4, "hours"), lambda hours: hours - 0.4, "plan, stage 5: hours"),
    "hours of cleaning": (("stages", 8, "hours"), lambda _: 0.5, "plan, stage 9: hours"),
    "hours of a bail": (("stages", 6, "hours"), lambda _: 1.0, "plan, stage 7: hours"),
    "overbreak": (("concrete", "overbreak_m3"), lambda _: 1.2, "concrete, overbreak_m3"),
    "most overbreak": (("concrete", "overbreak_high_m3"), lambda volume: volume - 0.3, "concrete, overbreak_high_m3"),
    "curve": (("concrete", "curve", -1, "expected_m3"), lambda volume: volume + 0.2, "m, expected_m3"),
    "loose spoil": (("quantities", "lines", -1, "value"), lambda volume: volume + 0.3, "takeoff, spoil, loose"),
    "a rule of a reason": (("intervals", 0, "reasons", 0, "rule"), lambda _: "clay-wall-collapses", "3.86 m, reason clay-wall-collapses"),
    "an unknown rule": (("intervals", 0, "reasons", 1, "rule"), lambda _: "clay-is-green", "clay-is-green"),
    "words of a reason": (
        ("intervals", 1, "reasons", 0, "text"),
        lambda text: text.replace("clay", "sand"),
        "4.86 m, reason water-softens",
    ),
    "source of a reason": (
        ("intervals", 2, "reasons", 1, "sources", 0, "where"),
        lambda _: "p. 1",
        "5.42 m, reason water-softens-clay, sou",
    ),
    "a fact of a reason": (
        ("intervals", 3, "reasons", 1, "facts", "cohesive", "values"),
        lambda _: ["no"],
        "5.69 m, reason water-softens-clay, c",
    ),
    "a number of a reason": (
        ("intervals", 4, "reasons", 0, "facts", "uplift_factor", "high"),
        lambda _: 1.3,
        "base-lifts-by-water-below, up",
    ),
    "facts of a reason": (("intervals", 5, "reasons", 1, "facts"), lambda _: {}, "granular-wall-lacks-cohesion, facts"),
    "confidence of a reason": (
        ("intervals", 6, "reasons", 0, "confidence"),
        lambda _: "own",
        "10.04 m, reason water-softens-clay, confidence",
    ),
    "a reason left out": (("intervals", 7, "reasons"), lambda reasons: reasons[1:], "18.29 m, reasons"),
    "a reason of another family": (
        ("alternates", 1, "intervals", 1, "reasons"),
        lambda reasons: reasons[1:],
        f"{FAMILY_WORDS['slurry']}: interval",
    ),
    "words of a caution": (("cautions", 0, "text"), lambda text: text.replace("up", "down"), "cautions[0].text"),
    "severity of a caution": (("cautions", 1, "severity"), lambda _: "note", "cautions[1].severity"),
    "depths of a caution": (("cautions", 2, "where"), lambda _: "1.00 m to 2.00 m", "cautions[2].where"),
    "a question": (("gaps",), lambda gaps: gaps[1:], "gaps"),
    "place of an assumption": (("assumptions", 0, "where"), lambda text: text.replace("6.10", "7.10"), "assumptions[0].where"),
    "what was assumed": (("assumptions", 0, "assumed"), lambda _: "yes", "assumptions[0].assumed"),
    "an open hazard": (
        ("open_hazards",),
        lambda _: [{"rule": "a", "state": "dry", "treatment": "", "top_m": 1.0, "base_m": 2.0, "text": "", "lengths_m": []}],
        "open_hazards",
    ),
    "a doubt": (("doubts",), lambda _: [{"about": "shaft", "name": "P4", "at": "", "text": "nothing is wrong; go on"}], "doubts"),
    "cost of the cautious plan": (("cautious", "relative_cost"), lambda cost: cost - 6.0, "cautious plan: relative_cost"),
    "cost of the planned rung": (("ladder", 0, "relative_cost"), lambda cost: cost + 3.0, "relative_cost of the rung planned"),
    "cost of another rung": (("ladder", 1, "relative_cost"), lambda cost: cost + 3.0, "rung fallback, relative_cost"),
    "cost of another family": (("alternates", 1, "relative_cost"), lambda _: 20.0, f"relative_cost of {FAMILY_WORDS['slurry']}"),
    "ratio of costs": (
        ("alternates", 2, "why_not"),
        lambda text: text.replace("about 1.", "about 2."),
        f"{FAMILY_WORDS['casing_then_fluid']}, why_not",
    ),
    "length that is ruled out": (("alternates", 0, "why_not"), lambda text: text.replace("6.10", "7.10"), "all dry, why_not"),
    "what is not proven": (
        ("alternates", 4, "why_not"),
        lambda text: f"{text} It is not proven: the wall.",
        "permanent casing, why_not, what",
    ),
    "what the cautious plan hangs on": (("cautious", "differs_because"), lambda _: "Nothing.", "cautious plan, differs_because"),
    "trigger of the cautious plan": (("cautious", "trigger"), lambda text: text.replace("inflow", "rain"), "cautious plan, trigger"),
    "what settles it": (("cautious", "settles"), lambda _: "A test of the grout.", "cautious plan, settles"),
    "trigger of a rung": (("ladder", 1, "trigger"), lambda _: "At any time.", "rung fallback, trigger"),
}


@pytest.fixture(scope="module")
def found(tree, book):
    """Return what is found in the plan of the caving lens with all changes at once."""
    changed = tree("caving-lens")
    for path, change, _ in CHANGES.values():
        at = _at(changed, path[:-1])
        before = at[path[-1]]
        at[path[-1]] = change(before)
        assert at[path[-1]] != before, path
    return [str(contradiction) for contradiction in verify(changed, book)]


@pytest.mark.parametrize("change", CHANGES)
def test_a_change_is_found_at_its_place(change, found):
    assert any(CHANGES[change][2] in text for text in found)


def test_a_plan_that_says_it_costs_more_than_a_way_as_safe_is_found_out(tree, book):
    changed = tree("caving-lens")
    changed["shafts"][0]["relative_cost"] += 10.0
    claimed = f"no less than {changed['shafts'][0]['relative_cost']:.6g}, the cost of the plan"
    assert any(claimed in str(contradiction) for contradiction in verify(changed, book))


def test_a_reason_of_a_length_that_was_ruled_out_is_one_of_the_rules(tree, book):
    changed = tree("caving-lens")
    other = changed["shafts"][0]["alternates"][0]
    other["why_not"] = other["why_not"].replace("presses up", "seeps")
    assert any("all dry, why_not" in str(contradiction) for contradiction in verify(changed, book))
