from dataclasses import replace

import pytest

from methodpick.engine.loosening import Loosening
from methodpick.engine.rulebook import canonical


def test_what_a_report_prints_counts(book):
    first = book.rules[0]
    for changed in (
        replace(first, hazard="gas" if first.hazard != "gas" else "fall"),
        replace(first, title="other"),
        replace(first, treatment={"dry": "pray"}),
        replace(first, not_for="never"),
        replace(first, level="may"),
    ):
        assert replace(book, rules=(changed, *book.rules[1:])).digest != book.digest
    name, limit = next(iter(book.limits.items()))
    assert replace(book, limits={**book.limits, name: replace(limit, confidence="own", note="guess")}).digest != book.digest
    assert replace(book, assumptions=book.assumptions[1:]).digest != book.digest
    assert replace(book, loosened=(Loosening("x", "y", "z"),)).digest != book.digest


def test_order_of_rules_places_and_spacing_do_not_count(book):
    assert replace(book, rules=book.rules[::-1]).digest == book.digest
    assert replace(book, limits=dict(sorted(book.limits.items(), reverse=True))).digest == book.digest
    first = replace(book.rules[0], text="  spaced   out  ", cases=())
    assert replace(book, rules=(first, *book.rules[1:])).digest == book.digest


def test_what_is_no_record_is_refused():
    with pytest.raises(TypeError):
        canonical(object())
