"""Laws of the engine: Kleene logic on sets, monotony under narrowing, compiled = interpreted, minimal support, order."""

from effort import examples
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shipped import shipped_rulebook

from methodpick.engine.compiler import FALSE, OPEN, TRUE, Program
from methodpick.engine.grammar import parse
from methodpick.engine.interpret import support, truth
from methodpick.engine.points import fired_at_points
from methodpick.engine.rule import Arithmetic, Both, Compare, Either, FactRef, LimitRef, Not, Number, Within, normal
from methodpick.engine.rule import given as given_word
from methodpick.engine.rulebook import Rulebook, verdict
from methodpick.terms import VERDICTS
from methodpick.vocabulary.catalogue import Catalogue, FactSpec
from methodpick.vocabulary.values import EITHER, Choice, Span

WORDS = ("a", "b", "c")
NUMBERS = ("x", "y", "z")
CATALOGUE = Catalogue(
    {name: FactSpec(name, "number", "1", Span(-10, 10), (), 1, "slice", "logged", "", "", False) for name in NUMBERS}
    | {name: FactSpec(name, "enum", "1", Choice(frozenset(WORDS)), WORDS, 0, "slice", "logged", "", "", False) for name in ("e", "f")}
    | {"p": FactSpec("p", "boolean", "1", EITHER, ("no", "yes"), 0, "slice", "logged", "", "", False)}
)

ends = st.integers(-10, 10).map(float)
spans = st.tuples(ends, ends).map(lambda pair: Span(min(pair), max(pair)))
choices = st.sets(st.sampled_from(WORDS), min_size=1).map(lambda words: Choice(frozenset(words)))
flags = st.sets(st.sampled_from(("yes", "no")), min_size=1).map(lambda words: Choice(frozenset(words)))
values = st.fixed_dictionaries({}, optional={**dict.fromkeys(NUMBERS, spans), "e": choices, "f": choices, "p": flags})
terms = st.recursive(
    st.one_of(st.sampled_from(NUMBERS).map(FactRef), ends.map(Number), ends.map(lambda value: LimitRef("l", value))),
    lambda inner: st.one_of(
        st.tuples(st.sampled_from("+-*/"), inner, inner).map(lambda made: Arithmetic(made[0], made[1:])),
        st.tuples(st.sampled_from(("min", "max")), inner, inner).map(lambda made: Arithmetic(made[0], made[1:])),
        inner.map(lambda term: Arithmetic("abs", (term,))),
    ),
    max_leaves=4,
)
leaves = st.one_of(
    st.tuples(st.sampled_from(("<", "<=", ">", ">=")), terms, terms).map(lambda made: Compare(*made, text="")),
    st.tuples(st.sampled_from(("e", "f")), st.sets(st.sampled_from(WORDS))).map(lambda made: Within(made[0], frozenset(made[1]), "")),
    st.just(Within("p", frozenset({"yes"}), "p")),
)
conditions = st.recursive(
    leaves,
    lambda inner: st.one_of(
        st.lists(inner, min_size=1, max_size=3).map(lambda parts: Both(tuple(parts))),
        st.lists(inner, min_size=1, max_size=3).map(lambda parts: Either(tuple(parts))),
        inner.map(Not),
    ),
    max_leaves=6,
)


def narrowed(value, share, width=0.0):
    """Give a part of a value: a point, or with a width a narrower range or a smaller set."""
    if isinstance(value, Span):
        low = value.low + share * (value.high - value.low)
        return Span(low, low + width * (value.high - low))
    words = sorted(value.values)
    first = int(share * (len(words) - 1))
    return Choice(frozenset(words[first : first + 1 + int(width * len(words))]))


def run(condition, known):
    program = Program([condition], CATALOGUE)
    return program.truth(program.judge(known)[0], 0)


@given(conditions, values)
def test_compiled_rails_equal_the_interpreter(condition, known):
    assert run(condition, known) == truth(condition, known, CATALOGUE)


exact = st.fixed_dictionaries({**dict.fromkeys(NUMBERS, ends), **dict.fromkeys("ef", st.sampled_from(WORDS)), "p": st.booleans()})


@given(st.lists(conditions, max_size=40), exact)
@settings(max_examples=examples(200))
def test_what_fires_at_a_point_is_what_the_interpreter_calls_true(several, place):
    """Forty rules and their alternatives need more bits than are looked up at once."""
    ids = [f"rule-{index}" for index in range(len(several))]
    known = {
        name: Span(value, value) if name in NUMBERS else Choice(frozenset({("no", "yes")[value] if name == "p" else value}))
        for name, value in place.items()
    }
    fired = fired_at_points(ids, several, CATALOGUE)
    expected = tuple(name for name, one in zip(ids, several, strict=True) if truth(one, known, CATALOGUE) == TRUE)
    assert fired(place) == fired({**place, "p": "yes" if place["p"] else "no"}) == expected


@given(st.lists(conditions, max_size=12), values)
def test_rules_compiled_together_are_as_each_alone(several, known):
    program = Program(several, CATALOGUE)
    masks = program.judge(known)
    for index, condition in enumerate(several):
        assert program.truth(masks[0], index) == truth(condition, known, CATALOGUE)


@given(conditions, values)
def test_the_normal_form_means_the_same(condition, known):
    assert truth(normal(condition, CATALOGUE), known, CATALOGUE) == truth(condition, known, CATALOGUE)


@given(conditions, values, st.sampled_from(WORDS))
def test_what_is_left_once_a_word_is_known_means_the_same(condition, known, word):
    known = {**known, "e": Choice(frozenset({word}))}
    left = given_word(normal(condition, CATALOGUE), "e", word)
    assert truth(left, known, CATALOGUE) == truth(condition, known, CATALOGUE)


@given(conditions, values, st.floats(0, 1), st.sampled_from((0.0, 0.3, 0.7)))
@settings(max_examples=examples(200))
def test_narrowing_only_turns_open_into_true_or_false(condition, known, share, width):
    before = truth(condition, known, CATALOGUE)
    full = {name: known.get(name, spec.domain) for name, spec in CATALOGUE.facts.items()}
    after = truth(condition, {name: narrowed(value, share, width) for name, value in full.items()}, CATALOGUE)
    assert before in {OPEN, after}


@given(conditions, conditions, values)
def test_de_morgan_and_double_negation(first, second, known):
    def t(condition):
        return truth(condition, known, CATALOGUE)

    assert t(Not(Both((first, second)))) == t(Either((Not(first), Not(second))))
    assert t(Not(Not(first))) == t(first)
    assert t(Both((first, second))) == t(Both((second, first)))


def test_kleene_tables():
    yes, no, dunno = Within("p", frozenset({"yes", "no"}), ""), Within("p", frozenset(), ""), Within("p", frozenset({"yes"}), "")
    table = {(TRUE, TRUE): TRUE, (TRUE, FALSE): FALSE, (TRUE, OPEN): OPEN, (FALSE, OPEN): FALSE, (OPEN, OPEN): OPEN, (FALSE, FALSE): FALSE}
    by_truth = {TRUE: yes, FALSE: no, OPEN: dunno}
    for (one, two), both in table.items():
        assert truth(Both((by_truth[one], by_truth[two])), {}, CATALOGUE) == both
        flipped = {TRUE: FALSE, FALSE: TRUE, OPEN: OPEN}
        assert truth(Either((by_truth[flipped[one]], by_truth[flipped[two]])), {}, CATALOGUE) == flipped[both]


@given(conditions, values)
@settings(max_examples=examples(300))
def test_the_support_is_enough_and_no_fact_of_it_is_idle(condition, known):
    before = truth(condition, known, CATALOGUE)
    names = support(condition, known, CATALOGUE)

    def without(left_out):
        return truth(condition, {name: known[name] for name in names if name in known and name != left_out}, CATALOGUE)

    if before != OPEN:
        assert without(None) == before
        assert all(without(name) != before for name in names)


numbers = st.one_of(st.sampled_from(NUMBERS), st.integers(0, 9).map(str))
sums = st.recursive(
    numbers,
    lambda inner: st.one_of(
        st.tuples(inner, st.sampled_from("+-*"), inner).map(lambda made: f"({made[0]} {made[1]} {made[2]})"),
        st.tuples(st.sampled_from(("min", "max")), inner, inner).map(lambda made: f"{made[0]}({made[1]}, {made[2]})"),
        inner.map(lambda text: f"abs({text})"),
        inner.map(lambda text: f"-{text}"),
    ),
    max_leaves=4,
)
comparisons = st.one_of(
    st.tuples(sums, st.sampled_from(("<", "<=", ">", ">=")), sums).map(" ".join),
    st.tuples(sums, st.sampled_from(("<", "<=")), sums, st.sampled_from(("<", "<=")), sums).map(" ".join),
    st.tuples(st.sampled_from("ef"), st.sampled_from(("==", "!=")), st.sampled_from(WORDS)).map(" ".join),
    st.tuples(st.sampled_from("ef"), st.sampled_from(("in", "not in")), st.sampled_from(WORDS), st.sampled_from(WORDS)).map(
        lambda made: f"{made[0]} {made[1]} {{{made[2]}, {made[3]}}}"
    ),
    st.just("p"),
)
sentences = st.recursive(
    comparisons,
    lambda inner: st.one_of(
        st.tuples(inner, st.sampled_from(("and", "or")), inner).map(lambda made: f"({made[0]} {made[1]} {made[2]})"),
        inner.map(lambda text: f"not ({text})"),
    ),
    max_leaves=5,
)


@given(
    sentences,
    st.fixed_dictionaries(
        {**dict.fromkeys(NUMBERS, st.integers(-10, 10)), "e": st.sampled_from(WORDS), "f": st.sampled_from(WORDS), "p": st.booleans()}
    ),
)
@settings(max_examples=examples(300))
def test_known_facts_mean_what_python_says_they_mean(text, known):
    """The oracle is Python itself: on points the language is a part of it."""
    assume(len(text) <= 400)
    names = {**known, **{word: word for word in WORDS}, "min": min, "max": max, "abs": abs}
    expected = eval(text, {"__builtins__": {}}, names)  # noqa: S307 - a text of this test
    sets = {
        name: Choice(frozenset({("yes" if value else "no") if isinstance(value, bool) else value}))
        if isinstance(value, (str, bool))
        else Span(value, value)
        for name, value in known.items()
    }
    assert run(parse(text, CATALOGUE, {}), sets) == (TRUE if expected else FALSE)


# ---- on the shipped rulebook
BOOK = shipped_rulebook()
LIKELY = st.floats(0, 1)


def spread(spec, draw):
    if isinstance(spec.domain, Span):
        low, high = sorted((draw(st.floats(spec.domain.low, spec.domain.high)), draw(st.floats(spec.domain.low, spec.domain.high))))
        inside = min(high, low + draw(LIKELY) * (high - low))  # the sum may round to just above the high end
        return Span(low, high, inside if draw(st.booleans()) else None)
    words = draw(st.sets(st.sampled_from(spec.words), min_size=1))
    likely = draw(st.sampled_from(sorted(words))) if draw(st.booleans()) else None
    return Choice(frozenset(words), likely)


@st.composite
def facts_of(draw):
    names = draw(st.sets(st.sampled_from(sorted(BOOK.catalogue.facts)), max_size=25))
    return {name: spread(BOOK.catalogue.facts[name], draw) for name in sorted(names)}


def judged(known, state, book=None):
    book = book or BOOK
    return verdict(state, [book.scopes[name].judge(known) for name in ("site", "shaft", "slice", "slice_state")])


@given(st.data(), st.sampled_from(("dry", "water", "polymer", "mineral", "cased_dry", "cased_plug")))
@settings(max_examples=examples(60))
def test_an_open_hazard_is_never_allowed(data, state):
    known = data.draw(facts_of())
    one = judged(known, state)
    if one.open_musts:
        assert VERDICTS.index(one.state) >= VERDICTS.index("doubtful")


@given(st.data(), st.sampled_from(("dry", "water", "polymer", "mineral", "cased_plug")), st.floats(0, 1))
@settings(max_examples=examples(60))
def test_narrowing_never_turns_allowed_into_ruled_out_or_back(data, state, share):
    known = data.draw(facts_of())
    narrow = {name: narrowed(value, share) for name, value in known.items()}
    before, after = judged(known, state).state, judged(narrow, state).state
    assert not (before in {"allowed", "discouraged"} and after == "ruled_out")
    assert not (before == "ruled_out" and after != "ruled_out")


@given(st.data(), st.sampled_from(("dry", "water", "mineral", "cased_dry", "cased_balanced", "cased_plug")))
@settings(max_examples=examples(40))
def test_the_facts_that_a_verdict_rests_on_carry_it_alone(data, state):
    known = data.draw(facts_of())
    before = judged(known, state)
    if before.state == "ruled_out":
        names = support(BOOK.by_id[before.rules[0]].condition, known, BOOK.catalogue)
    elif before.state in {"allowed", "discouraged"}:
        names = {
            name
            for rule in BOOK.rules
            if state in rule.states and rule.scope != "stage"
            for name in support(rule.condition, known, BOOK.catalogue)
        }
    else:
        return
    after = judged({name: known[name] for name in names if name in known}, state)
    assert after.state == before.state or {before.state, after.state} == {"allowed", "discouraged"}


@given(st.data())
@settings(max_examples=examples(25))
def test_rule_order_never_matters(data):
    known = data.draw(facts_of())
    turned = Rulebook(BOOK.catalogue, BOOK.limits, BOOK.sources, BOOK.rules[::-1], BOOK.assumptions, BOOK.tables, BOOK.sizes)
    for state in ("dry", "polymer", "cased_plug"):
        first, second = judged(known, state), judged(known, state, turned)
        assert (first.state, sorted(first.rules), first.points) == (second.state, sorted(second.rules), second.points)


@given(st.floats(1, 400), st.floats(1, 400), st.data())
@settings(max_examples=examples(60))
def test_a_higher_strength_never_worsens_the_dry_verdict(one, two, data):
    known = data.draw(facts_of())
    weak, strong = sorted((one, two))
    total, limit = data.draw(st.floats(1, 800)), data.draw(st.floats(3.8, 12))

    def at(su):
        return judged(
            {
                **known,
                "su_kpa": Span(su, su, su),
                "overload_ratio": Span(total / su, total / su, total / su),
                "overload_share": Span(*(3 * (total / su / limit,))),
            },
            "dry",
        ).state

    assert VERDICTS.index(at(strong)) <= VERDICTS.index(at(weak))
