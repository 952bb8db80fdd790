"""One word, one place: no type name stands for two things, and no list of the trade's words is spelled out beside ``terms.py``."""

import ast
import re
from collections import defaultdict
from pathlib import Path

from measure_house import nodes, sources
from shipped import shipped_rulebook

import methodpick
from methodpick import terms

PACKAGE = Path(methodpick.__file__).parent
LISTS = {
    name: frozenset(words)
    for name, words in vars(terms).items()
    if name.isupper() and isinstance(words, (tuple, frozenset)) and len(words) >= 3 and all(isinstance(word, str) for word in words)
}
"""The lists of words of ``terms.py`` that are long enough to be told from a chance meeting of two words."""


def trees():
    """Return the trees of the modules by their paths inside the package."""
    return {path.relative_to(PACKAGE).as_posix(): tree for path, tree in sources(PACKAGE.parent).values()}


def type_names(tree):
    """Give the names of classes and type aliases at the top of a module."""
    for node in tree.body:
        if isinstance(node, ast.ClassDef):
            yield node.name
        elif isinstance(node, (ast.Assign, ast.AnnAssign)):
            target = node.targets[0] if isinstance(node, ast.Assign) else node.target
            if isinstance(target, ast.Name) and target.id[:1].isupper() and not target.id.isupper() and "_" not in target.id:
                yield target.id


def lists_spelled(tree):
    """Give the lists of words that a tuple, list, set or Literal of a module holds whole."""
    for node in nodes(tree):
        if isinstance(node, (ast.Tuple, ast.List, ast.Set)):
            words = {each.value for each in node.elts if isinstance(each, ast.Constant) and isinstance(each.value, str)}
            yield from (name for name, whole in LISTS.items() if whole <= words)


def test_a_type_name_means_one_thing():
    found = defaultdict(list)
    for name, tree in trees().items():
        for each in set(type_names(tree)):
            found[each].append(name)
    twice = {each: places for each, places in found.items() if len(places) > 1}
    assert twice == {}


def test_the_words_of_the_trade_are_spelled_once():
    spelled = {name: sorted(set(lists_spelled(tree))) for name, tree in trees().items() if name != "terms.py"}
    assert {name: lists for name, lists in spelled.items() if lists} == {}


def test_the_search_for_lists_finds_them():
    """A check that cannot fail holds nothing: each way of spelling a list is found."""
    for text in (
        'X = ("water", "polymer", "mineral")',
        'if x in {"water", "polymer", "mineral"}: ...',
        'Y = Literal["water", "polymer", "mineral"]',
    ):
        assert "FLUIDS" in set(lists_spelled(ast.parse(text)))
    assert not set(lists_spelled(ast.parse('X = ("water", "polymer")')))
    assert list(type_names(ast.parse("class Row: ...\nKind = Literal['a']\nNAMES = ()\n_hidden = 1"))) == ["Row", "Kind"]


ONE_WORD = {
    r"bore ?holes?": "boring: the site file has 'borings'",
    r"toes?": "shoe, of a casing; tip, of a shaft",
    r"bottoms?": "base, of a hole, a layer or a casing; bed, below open water",
    r"sea ?bed|river ?bed": "mudline, its level; bed, its ground",
    r"temp(?:\.|orary)? case|temp casings?": "temporary casing",
    r"rebar": "cage",
    r"water table": "water level",
    r"support liquids?|support slurry": "support fluid: water, polymer fluid or mineral slurry",
    r"up-?stands?": "stick-up",
    r"foreman's page": "foreman's sheet",
    r"second[- ]best": "next best way",
}
"""Words that stand for what the commands, the site file and the pages call otherwise, with the word that they have for it."""
READ_NOT_SAID = ("imports/", "ground/descriptions/", "facts/", "mechanics/")
"""Where the words of others are read, or named as in their books."""
RETIRED = re.compile("|".join(rf"\b(?:{words})\b" for words in ONE_WORD), re.IGNORECASE)


def told(tree):
    """Give the texts of a module that somebody reads: two words or more, neither docstrings nor comments."""
    silent = {id(node.value) for node in nodes(tree) if isinstance(node, ast.Expr)}
    for node in nodes(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and " " in node.value and id(node) not in silent:
            yield node.value


def test_pages_sheets_and_help_have_one_word_for_one_thing():
    modules = {name: tree for name, tree in trees().items() if not name.startswith(READ_NOT_SAID)}
    found = {
        f"{name}: {RETIRED.search(text)[0]} in {text[:60]!r}"
        for name, tree in modules.items()
        for text in told(tree)
        if RETIRED.search(text)
    }
    assert found == set()


def test_rules_have_the_same_words():
    """A specification may be quoted in its own: its overlay under ``agencies`` is left out."""
    texts = {
        f"{rule.id}: {RETIRED.search(text)[0]}"
        for rule in shipped_rulebook().rules
        for text in (rule.because, rule.title)
        if RETIRED.search(text)
    }
    assert texts == set()


def test_a_retired_word_is_found_as_a_word_alone():
    assert RETIRED.search("Grout the toe.") is not None
    assert RETIRED.search("a bore hole") is not None
    assert RETIRED.search("Test each boring; no borer is lost, tiptoe") is None
