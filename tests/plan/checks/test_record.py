"""What a record says: its sentence, its ends, what to do and what to ask."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from methodpick.plan.checks.definition import Definition
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.proof import Comparison
from methodpick.plan.checks.record import (
    Heading,
    Wording,
    at_worst,
    for_words,
    governing,
    make_comparison,
    over_words,
    write_comparison,
    write_condition,
)
from methodpick.plan.result.checks import CHECK_RESULTS, Citation, Ends
from methodpick.unit_markup import spell
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import Choice, Span, any_of, known, point

PULL = Definition("pull-of-a-rope", "Pull of a rope", ("pull_out",), "The rope bears the load.")
LIFE = Definition("rope-over-people", "Rope over people", ("pull_out",), "The rope bears the load.", life=True)
LIMIT = Limit("rope_kn", 5.0, "kN", "own", "a rope", "", "own", "")
WORDS = Wording("The pull of the rope", "lifting the load takes", "kN", {"rope": "the weakest rope", "load": "the heaviest load"})
BEARS = Comparison(has=lambda v: v["rope"], needed=lambda v: v["load"], adverse={"rope": "low", "load": "high"})


@pytest.fixture
def heading(place):
    return Heading(PULL, place, limits=(LIMIT, replace(LIMIT, name="rope_too")), formula="rope", remedy="Take two.", question="What rope?")


def check(heading, rope, load):
    return write_comparison(heading, WORDS, BEARS, {"rope": rope, "load": load})


def compared(heading, rope, load):
    return make_comparison(heading, WORDS, BEARS, {"rope": rope, "load": load})


def test_the_sentence_compares_at_the_likely_values_and_at_the_adverse_end(heading):
    found = check(heading, Span(4, 8, 6), Span(3, 5.5, 5))
    assert spell(found.what, "si") == "The pull of the rope is 6 kN (4 kN with the weakest rope); lifting the load takes 5 kN."
    assert (found.result, found.remedy) == ("open_range", "Take two.")


def test_what_is_certain_needs_one_comparison_and_no_remedy(heading):
    found = check(heading, point(6.0), point(5.0))
    assert spell(found.what, "si") == "The pull of the rope is 6 kN; lifting the load takes 5 kN."
    assert (found.result, found.remedy, found.margin.likely) == ("holds", "", 1.0)


def test_what_has_no_likely_value_is_said_at_its_worst_and_asked_for(heading):
    found = check(heading, Span(4, 8), point(5.0))
    assert spell(found.what, "si") == "The pull of the rope is 4 kN; lifting the load takes 5 kN at worst."
    assert (found.result, found.remedy, found.has.likely) == ("unknown", "What rope?", None)


def test_a_little_margin_says_what_is_recommended(heading):
    advised = replace(BEARS, recommended=lambda v: 1.5 * v["load"])
    found = write_comparison(heading, WORDS, advised, {"rope": point(6.0), "load": point(5.0)})
    assert spell(found.what, "si") == "The pull of the rope is 6 kN; lifting the load takes 5 kN, with the recommended reserve 8 kN."
    assert (found.result, found.remedy) == ("little_margin", "Take two.")


def test_what_has_no_end_is_said_in_words(heading):
    endless = replace(BEARS, has=lambda _: float("inf"))
    found = write_comparison(heading, WORDS, endless, {"rope": point(6.0), "load": point(5.0)})
    assert spell(found.what, "si") == "The pull of the rope is unlimited; lifting the load takes 5 kN."


def test_an_input_that_is_missing_leaves_the_proof_unknown(heading):
    found = check(heading, None, point(5.0))
    assert (found.what, found.result, found.remedy) == ("The pull of the rope is not known.", "unknown", "What rope?")
    assert (found.needed.best, found.margin.adverse, set(found.inputs)) == (None, None, {"load"})


def test_limits_sources_and_place_are_kept(heading):
    found = check(heading, point(6.0), point(5.0))
    assert found.limits == ("rope_kn", "rope_too")
    assert found.sources == (Citation("own", "a rope"),)
    assert (found.id, found.stage, found.formula, found.base_m, found.unit) == ("pull-of-a-rope", 4, "rope", 10.0, "kN")


@pytest.mark.parametrize(
    ("soil", "word", "said"),
    [
        (known("rock"), "holds", "The rope hangs on rock."),
        (any_of("rock", "sand", likely="rock"), "open_range", "Likely the rope hangs on rock, but not for certain."),
        (any_of("rock", "sand"), "unknown", "It is not known whether the rope hangs on rock."),
        (any_of("rock", "sand", likely="sand"), "open_likely", "Likely the rope hangs on sand."),
        (known("sand"), "fails", "The rope hangs on sand."),
    ],
)
def test_a_condition_says_how_it_ends(heading, soil, word, said):
    found = write_condition(heading, "the rope hangs on rock", "the rope hangs on sand", lambda v: v["soil"] == "sand", {"soil": soil})
    assert (found.result, found.what) == (word, said)


def test_where_life_hangs_on_it_likely_broken_fails_and_says_likely(heading):
    found = write_condition(
        replace(heading, proof=LIFE),
        "the rope hangs on rock",
        "the rope hangs on sand",
        lambda v: v["soil"] == "sand",
        {"soil": any_of("rock", "sand", likely="sand")},
    )
    assert (found.result, found.what) == ("fails", "Likely the rope hangs on sand.")
    missing = write_condition(heading, "the rope hangs on rock", "it does not", lambda _: False, {"soil": None})
    assert missing.result == "unknown"


def test_results_are_held_between_bounds(heading):
    held, short = check(heading, point(6.0), point(5.0)), check(heading, point(4.0), point(5.0))
    assert at_worst(short, "open_range").result == "open_range"
    assert at_worst(held, "open_range") is held


def test_the_worst_and_then_the_least_margin_governs(heading):
    loads = [check(heading, point(6.0), point(load)) for load in (5.0, 7.0, 6.5)]
    assert governing(loads).needed.likely == 7.0
    assert governing(loads[:1] * 2) is loads[0]
    with pytest.raises(ValueError, match="empty"):
        governing([])


ROPES = {"hemp": 4.0, "steel": 8.0}


def where(word):
    return f"where the rope is {word}"


@pytest.mark.parametrize(
    ("rope", "word", "life_word"),
    [
        (known("steel"), "holds", "holds"),
        (known("hemp"), "fails", "fails"),
        (any_of("hemp", "steel", likely="steel"), "open_range", "open_range"),
        (any_of("hemp", "steel", likely="hemp"), "open_likely", "fails"),
        (any_of("hemp", "steel"), "unknown", "unknown"),
    ],
)
def test_a_proof_that_goes_by_a_word(heading, rope, word, life_word):
    """Hemp bears 4 kN and steel 8 of a load of 5: by the likely rope, and open for the other."""
    assert over_words(PULL, rope, lambda word: compared(heading, point(ROPES[word]), point(5.0)), where).result == word
    found = over_words(LIFE, rope, lambda word: compared(replace(heading, proof=LIFE), point(ROPES[word]), point(5.0)), where)
    assert found.result == life_word


def test_a_proof_that_is_open_for_another_word_shows_both(heading):
    """Likely steel bears 8 kN and has 3 left; hemp, which it may be, bears 4 kN and lacks 1."""
    rope = any_of("hemp", "steel", likely="steel")
    found = over_words(PULL, rope, lambda word: compared(heading, point(ROPES[word]), point(5.0)), where)
    assert (found.has, found.needed) == (Ends(4.0, 8.0, 8.0), Ends(5.0, 5.0, 5.0))
    assert found.margin == Ends(-1.0, 3.0, 3.0)
    assert spell(found.what, "si") == (
        "The pull of the rope is 8 kN; lifting the load takes 5 kN (where the rope is hemp 4 kN against 5 kN)."
    )


@pytest.mark.parametrize(
    ("rope", "word"),
    [
        (Choice(frozenset({"hemp"}), "hemp"), "fails"),
        (any_of("hemp", "steel", likely="hemp"), "open_likely"),
        (any_of("hemp", "steel", likely="steel"), "open_range"),
        (any_of("hemp", "steel"), "unknown"),
    ],
)
def test_a_proof_that_counts_for_some_words_only(heading, rope, word):
    short = check(heading, point(4.0), point(5.0))
    assert for_words(PULL, rope, {"hemp"}, short).result == word


@given(st.lists(st.floats(0.0, 10.0), min_size=3, max_size=3), st.sets(st.sampled_from("abc"), min_size=1), st.booleans(), st.booleans())
def test_more_possible_words_make_nothing_usable_that_was_not(pulls, words, likely, life):
    """The rope may be one of three; the likely one stays the same."""
    proof = LIFE if life else PULL
    place = ProvedPlace(1, 0.0, 1.0)
    bears = dict(zip("abc", pulls, strict=True))
    first = min(words) if likely else None

    def result(possible):
        answer = Choice(frozenset(possible), first)
        return CHECK_RESULTS.index(
            over_words(proof, answer, lambda word: compared(Heading(proof, place), point(bears[word]), point(5.0)), where).result
        )

    before, after = result(words), result("abc")
    assert after >= before or after > CHECK_RESULTS.index("open_range")


def test_the_adverse_end_tells_which_of_two_governs(heading):
    """Both hold with a likely margin of 1; one has 0.5 left at its adverse end, the other 0.2."""
    near, nearer = (check(heading, Span(5 + left, 8, 6), point(5.0)) for left in (0.5, 0.2))
    assert governing([near, nearer]) is nearer
    assert governing([nearer, near]) is nearer
