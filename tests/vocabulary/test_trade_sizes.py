"""Lists of trade sizes as rules data: what is wrong with one is told at its place."""

import pytest

from methodpick.engine.load import lay_over
from methodpick.errors import RuleError
from methodpick.strict_yaml import read
from methodpick.vocabulary.limits import sources_of
from methodpick.vocabulary.trade_sizes import size_lists_of

SOURCES = sources_of(read("sources:\n  maker: {title: Casing, author: A. Maker, year: 2018}\n"))
GOOD = "{unit: mm, sizes: [SIZES], source: maker, where: p. 3, confidence: read}"


def text(name, sizes):
    return f"trade_sizes:\n  {name}: {GOOD.replace('SIZES', sizes)}\n"


@pytest.mark.parametrize(
    ("name", "sizes", "said", "sign"),
    [
        ("pipe_si", "508, x, 610", "this is no size of such casing", "x"),
        ("pipe_si", "508, [559, 500], 610", "an outside diameter in mm: 1219", "[559"),
        ("pipe_si", "508, 610, 559", "this size is not wider than the one before it", "559"),
        ("pipe_si", "508, 508", "this size is not wider than the one before it", "508]"),
        ("pipe_si", "508, -610", "no casing is -610 mm wide", "-610"),
        ("pipe_si", "20, 24", "no casing is 20 mm wide", "20"),
        ("pipe_si", "", "the list has no size", "[]"),
        ("segmental_si", "[620, 540], 750", "outside and inside in mm: [1200, 1120]", "750"),
        ("segmental_si", "[620, 540], [670, 750]", "the inside is not less than the outside", "[670"),
        ("segmental_si", "[620, 540, 500]", "outside and inside in mm: [1200, 1120]", "[620"),
        ("pipe_su", "508", "did you mean 'pipe_us'?", "pipe_su"),
    ],
)
def test_a_broken_list_is_told_at_its_place(name, sizes, said, sign):
    written = text(name, sizes)
    with pytest.raises(RuleError) as found:
        size_lists_of(read(written), SOURCES)
    assert said in found.value.render()
    place = found.value.problems[0].place
    assert written.splitlines()[place.line - 1][place.column - 1 :].startswith(sign)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("unit: mm", "unit: cm", "'cm' is not one of the words"),
        ("unit: mm, ", "", "the key 'unit' is missing"),
        ("source: maker", "source: marker", "the source 'marker' is not in sources.yaml"),
        ("confidence: read", "confidence: sure", "'sure' is not one of the words"),
        ("where: p. 3", "wehre: p. 3", "did you mean 'where'?"),
    ],
)
def test_a_list_needs_its_unit_and_its_source(old, new, said):
    with pytest.raises(RuleError, match=said):
        size_lists_of(read(text("pipe_us", "508, 610").replace(old, new)), SOURCES)


def test_inches_are_read_as_inches():
    """An inch is 25.4 mm."""
    listed = size_lists_of(read(text("pipe_us", "36, 42.5").replace("mm", "in")), SOURCES)["pipe_us"]
    assert [size.outside_m for size in listed.sizes] == pytest.approx([0.9144, 1.0795])
    assert listed.numbers() == "36, 42.5 in"


def overlay(more=""):
    return f"overlay: ours\nsizes:\n  pipe_si: {{unit: mm, sizes: [508, 610], source: own, confidence: read{more}}}\n"


def test_an_overlay_replaces_a_list_only_with_a_reason(book):
    with pytest.raises(RuleError, match="the list 'pipe_si' is changed without a reason") as found:
        lay_over(book, read(overlay()))
    assert found.value.problems[0].place.line == 3
    for more, reason in ((", reason: our yard", "our yard"), (", where: clause 4", "own, clause 4")):
        changed = lay_over(book, read(overlay(more)))
        assert changed.sizes["pipe_si"].origin == "ours"
        assert [noted.reason for noted in changed.loosened] == [reason]


def test_an_overlay_that_repeats_a_list_is_no_change(book):
    same = ", ".join(f"{size.outside_m * 1000:.0f}" for size in book.sizes["pipe_si"].sizes)
    assert lay_over(book, read(overlay().replace("508, 610", same))).loosened == ()
