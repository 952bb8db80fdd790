"""Each sentence stands once: who changes one finds it in one module, and no page goes on saying the old one."""

import ast
import re
from collections import defaultdict
from pathlib import Path

from measure_house import nodes, sources

import methodpick

PACKAGE = Path(methodpick.__file__).parent
LEAST_WORDS = 4
WORD = re.compile(r"[A-Za-z][A-Za-z'-]*")


def sentences(tree):
    """Return the texts of a module that read like words, cut into sentences; docstrings and comments are not among them."""
    silent = {id(node.value) for node in nodes(tree) if isinstance(node, ast.Expr)}
    for node in nodes(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in silent:
            for sentence in re.split(r"(?<=[.?!])\s", node.value):
                plain = " ".join(sentence.split())
                if len(WORD.findall(plain)) >= LEAST_WORDS and " " in plain:
                    yield plain


def twice(modules):
    """Return the sentences that stand in two modules or more, with the modules."""
    found = defaultdict(set)
    for name, tree in modules.items():
        for sentence in sentences(tree):
            found[sentence].add(name)
    return {sentence: sorted(names) for sentence, names in found.items() if len(names) > 1}


STILL_TWICE = frozenset({"Concrete over the shoe"})
"""The title of a formula, and of the proof that it decides."""


def test_no_sentence_stands_in_two_modules():
    trees = {path.relative_to(PACKAGE).as_posix(): tree for path, tree in sources(PACKAGE.parent).values()}
    found = {sentence: names for sentence, names in twice(trees).items() if sentence not in STILL_TWICE}
    assert found == {}


def test_the_search_finds_sentences_inside_longer_texts_and_between_numbers():
    first = '"""Keep it in the concrete."""\nx = f"Start at {1} m. Keep it in the concrete. Then pull."'
    second = 'def f():\n    """Keep it in the concrete."""\n    return f"{2} m and keep it in the concrete", "Keep it in the concrete."'
    assert twice({"a.py": ast.parse(first), "b.py": ast.parse(second)}) == {"Keep it in the concrete.": ["a.py", "b.py"]}
    assert twice({"a.py": ast.parse(first), "b.py": ast.parse('"""Keep it in the concrete."""')}) == {}
