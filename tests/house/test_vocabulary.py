"""One word, one place: no type name stands for two things, and no list of the trade's words is spelled out beside ``terms.py``."""

import ast
from collections import defaultdict
from pathlib import Path

from measure_house import nodes, sources

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
