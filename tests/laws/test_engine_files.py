"""Laws of the rule files: their order and cutting never matter, and nothing in them ends in a traceback."""

import json
import shutil
from pathlib import Path

import pytest
from effort import examples
from hypothesis import given, settings
from hypothesis import strategies as st
from shipped import shipped_rulebook

from methodpick.engine.load import lay_over, load_rulebook
from methodpick.engine.read import Words, rules_of
from methodpick.engine.rulebook import verdict
from methodpick.errors import MethodpickError
from methodpick.resources import folder
from methodpick.strict_yaml import read
from methodpick.vocabulary.assumptions import assumptions_of
from methodpick.vocabulary.catalogue import Reader, catalogue_of
from methodpick.vocabulary.limits import limits_of, sources_of
from methodpick.vocabulary.tables import table_of
from methodpick.vocabulary.trade_sizes import size_lists_of
from methodpick.vocabulary.values import known, point

HOME = folder("rules")
BOOK = shipped_rulebook()
WORDS = Words(BOOK.catalogue, BOOK.limits, BOOK.sources)


def rules(document):
    reader = Reader(document)
    rules_of(document, WORDS, reader)
    reader.done()


OVERLAY = {
    "overlay": "x",
    "title": "t",
    "level": "agency",
    "sources": {"mine": {"title": "m"}},
    "set": {"dry_rise_m_h": {"value": 0.1, "where": "s", "reason": "r"}},
    "sizes": {"segmental_us": {"unit": "mm", "sizes": [[1200, 1120]], "source": "own", "confidence": "own", "reason": "r"}},
    "disable": [{"rule": "boring-caved", "reason": "y"}],
    "tighten": [],
    "replace": [],
    "add": [
        {
            "id": "new-one",
            "title": "t",
            "status": "test",
            "level": "must",
            "hazard": "caving",
            "when": "soil == clay",
            "exclude": ["dry"],
            "because": "Because {soil} does so here.",
            "source": [{"key": "own", "where": "x"}],
            "treatment": {"dry": "x"},
            "unless": [{"id": "u", "when": "soil == sand", "because": "x"}],
            "cases": [{"given": {"soil": "clay"}, "expect": "fires"}],
        }
    ],
}
FILES = {
    "facts.yaml": catalogue_of,
    "limits.yaml": limits_of,
    "sources.yaml": sources_of,
    "trade_sizes.yaml": lambda document: size_lists_of(document, BOOK.sources),
    "assumptions.yaml": lambda document: assumptions_of(document, BOOK.catalogue, BOOK.sources),
    "tables/seals.yaml": lambda document: table_of(document, BOOK.catalogue, BOOK.sources),
    "tables/consistency_by_n.yaml": lambda document: table_of(document, BOOK.catalogue, BOOK.sources),
    "method/dry.yaml": rules,
    "safety/usual.yaml": rules,
    "data/questions.yaml": rules,
    "overlay": lambda document: lay_over(BOOK, document),
    "agencies/caltrans.yaml": lambda document: lay_over(BOOK, document),
    "agencies/fdot.yaml": lambda document: lay_over(BOOK, document),
}
TREES = {name: OVERLAY if name == "overlay" else read(HOME / name).value for name in FILES}
WRONG = [
    None,
    True,
    5,
    -1.5,
    1e300,
    "word",
    "",
    "a b",
    "{x}",
    [],
    {},
    [1, 2],
    [3, 1],
    [[1]],
    [None],
    ["a", "a"],
    ["x", None, 2],
    {"a": 1},
    [{"a": 1}],
    {"a": None},
    {"low": 3, "high": 1},
    {"likely": "zz"},
    {"value": "x"},
]


def spots(value, path=()):
    yield path
    for key, inner in value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ():
        yield from spots(inner, (*path, key))


def put(value, path, new):
    if not path:
        return new
    if isinstance(value, dict):
        return {key: put(inner, path[1:], new) if key == path[0] else inner for key, inner in value.items()}
    return [put(inner, path[1:], new) if index == path[0] else inner for index, inner in enumerate(value)]


SPOTS = {name: sorted(spots(tree), key=len) for name, tree in TREES.items()}


@given(st.sampled_from(sorted(FILES)), st.data())
@settings(max_examples=examples(300))
def test_a_wrong_thing_anywhere_is_read_or_answered_with_its_place(name, data):
    path = data.draw(st.one_of(st.sampled_from(SPOTS[name][:60]), st.sampled_from(SPOTS[name])))
    wrong = data.draw(st.sampled_from(WRONG))
    text = json.dumps(put(TREES[name], path, wrong) or {"nothing": 1}, ensure_ascii=False, indent=1)
    problems = ()
    try:
        FILES[name](read(text, name))
    except MethodpickError as error:
        problems = error.problems
    assert all(problem.place is not None for problem in problems)


@pytest.fixture(scope="module")
def copy(tmp_path_factory):
    return Path(shutil.copytree(HOME, tmp_path_factory.mktemp("rulebook") / "rules"))


def spelled(place, chunks):
    """Write the rules of method/dry.yaml as several files in some order."""
    for old in place.glob("method/part*.yaml"):
        old.unlink()
    for number, chunk in enumerate(chunks):
        text = json.dumps({"topic": "method", "title": "part", "rules": chunk})
        (place / "method" / f"part{number}.yaml").write_text(text, encoding="utf-8")


@given(st.randoms(use_true_random=False), st.integers(1, 3))
@settings(max_examples=examples(6))
def test_file_order_and_rule_order_never_matter(copy, random, parts):
    (copy / "method" / "dry.yaml").unlink(missing_ok=True)
    listed = list(TREES["method/dry.yaml"]["rules"])
    random.shuffle(listed)
    cut = len(listed) // parts + 1
    spelled(copy, [listed[start : start + cut] for start in range(0, len(listed), cut)])
    book = load_rulebook(copy)
    assert book.digest == BOOK.digest
    assert set(book.by_id) == set(BOOK.by_id)
    soil = random.choice(BOOK.catalogue.facts["soil"].words)
    place = {"soil": known(soil), "water_position": known("below"), "su_kpa": point(random.uniform(5, 300))}
    for state in ("dry", "polymer", "cased_dry", "cased_plug"):
        first, second = (
            verdict(state, [some.scopes[name].judge(place) for name in ("site", "shaft", "slice", "slice_state")]) for some in (BOOK, book)
        )
        assert (first.state, sorted(first.rules), first.points) == (second.state, sorted(second.rules), second.points)
