"""Patterns are compiled at their first use, each as ``re`` would compile it; what is no pattern is found here and not by a user."""

import re
from importlib import import_module
from pkgutil import walk_packages

import methodpick
from methodpick import patterns


def patterns_in(value):
    if isinstance(value, patterns._LatePattern):
        yield value
    elif isinstance(value, dict):
        yield from patterns_in(tuple(value.values()))
    elif isinstance(value, (tuple, list)):
        for part in value:
            yield from patterns_in(part)


def test_every_pattern_of_the_program_compiles():
    modules = [import_module(found.name) for found in walk_packages(methodpick.__path__, "methodpick.") if "__main__" not in found.name]
    late = [each for module in modules for each in patterns_in(vars(module))]
    assert len(late) > 180
    for each in late:
        assert re.compile(each.pattern, each.flags).groups == each.groups


def test_a_pattern_finds_what_the_compiled_one_finds():
    late, compiled = patterns.pattern_of(r"(\d+) ?m\b", re.IGNORECASE), re.compile(r"(\d+) ?m\b", re.IGNORECASE)
    text = "from 3 M to 12m"
    assert late.findall(text) == compiled.findall(text) == ["3", "12"]
    assert late.sub("x", text) == compiled.sub("x", text)
    assert [found.span() for found in late.finditer(text)] == [found.span() for found in compiled.finditer(text)]
    assert late.split(text) == compiled.split(text)
    assert late.search(text)[0] == compiled.search(text)[0] == "3 M"
    assert late.match(text) is compiled.match(text) is None
    assert late.fullmatch("12m").span() == (0, 3)


def test_a_pattern_is_compiled_once(monkeypatch):
    """Counted: two searches, one compilation."""
    calls = []
    compile_it = re.compile
    monkeypatch.setattr(patterns.re, "compile", lambda *given: calls.append(given) or compile_it(*given))
    late = patterns.pattern_of("sand")
    assert calls == []
    assert late.search("sand")
    assert late.search("fine sand")
    assert calls == [("sand", 0)]
