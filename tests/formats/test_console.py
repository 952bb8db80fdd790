"""Documents on the console: within the width, without marks, in ASCII where the console knows no more."""

import os
from collections import Counter
from io import StringIO
from pathlib import Path

import pytest
from rich.console import Console

from methodpick.document.report import plan_pages
from methodpick.formats.console import print_document
from methodpick.tables.site_tables import make_tables, sheets_document


def page(document, width=80, units="us", colour=None):
    out = StringIO()
    console = Console(file=out, width=width, force_terminal=colour is not None, color_system=colour, highlight=False)
    print_document(document, console, units)
    return "\n".join(line.rstrip() for line in out.getvalue().splitlines()) + "\n"


GOLDEN = Path(__file__).parents[1] / "golden" / "sample.txt"


def test_the_sample_is_the_golden_one(sample):
    """After a wanted change: METHODPICK_GOLDEN=write pytest tests/formats, then read the page."""
    shown = page(sample, 60)
    if os.environ.get("METHODPICK_GOLDEN") == "write":
        GOLDEN.write_text(shown, encoding="utf-8")
    assert shown == GOLDEN.read_text(encoding="utf-8")


READERS = (None, "foreman", "engineer", "everything")


LATER = pytest.mark.ci_only("prints more pages of the same sort")


@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize(
    ("width", "names"),
    [
        (60, ("caving-lens", "karst", "twenty-layers", "descriptions-only")),
        (80, ("caving-lens",)),
        *(pytest.param(width, ("karst", "twenty-layers", "descriptions-only"), marks=LATER) for width in (80, 160)),
    ],
)
def test_no_line_is_wider_than_asked(planned, width, names, reader):
    for name in names:
        assert max(map(len, page(plan_pages(planned(name), reader=reader), width).splitlines())) <= width


def test_no_word_is_broken_or_lost_at_sixty_columns(planned):
    """What is printed wide and what is printed narrow are the same words, so often each; heads of a folded table may come again."""
    for name, reader in (("caving-lens", None), ("karst", "engineer"), ("karst", "everything"), ("twenty-layers", "foreman")):
        document = plan_pages(planned(name), reader=reader)
        missing = Counter(page(document, 200).split()) - Counter(page(document, 60).split())
        assert not [word for word in missing if any(map(str.isalnum, word)) and "||" not in word and len(word) < 40], (name, reader)


@pytest.mark.parametrize("reader", READERS)
def test_every_number_has_its_unit_and_no_mark_is_left(planned, reader):
    for name in ("caving-lens", "karst", "river-crossing"):
        for units in ("us", "si"):
            shown = page(plan_pages(planned(name), reader=reader), units=units)
            assert "⟦" not in shown
            assert "{" not in shown


def test_a_reader_without_unicode_gets_ascii(planned):
    class Ascii(StringIO):
        encoding = "ascii"

    out = Ascii()
    print_document(plan_pages(planned("caving-lens")), Console(file=out, width=80, force_terminal=False, color_system=None), "us")
    assert out.getvalue().isascii()


def test_dangers_stand_out(planned):
    shown = page(plan_pages(planned("caving-lens")), colour="standard")
    danger = shown.split("DANGEROUS HERE")[1].splitlines()[1]
    assert danger.startswith("\x1b[1;31m  ! "), "bold and red"


def test_the_strip_shows_layers_water_casing_and_fluid(planned):
    strip = page(plan_pages(planned("caving-lens"), reader="everything")).split("STRIP LOG")[1].split("HOLDS ONLY IF")[0]
    for sign in ("...", "---", "||", "\\/", "TTT", "DDD", " v", "f level", "tip (ft; drawn at"):
        assert sign in strip, sign


def test_the_chart_of_levels_marks_the_planned_point(planned):
    """One row is the planned level; the aim stands in it, between what is too light and what is too heavy."""
    chart = page(plan_pages(planned("artesian-sand"), reader="everything")).split("ground leaves open:")[1].split("# open,")[0]
    (planned_row,) = [line for line in chart.splitlines() if line.startswith("  >")]
    assert planned_row.count("o") == 1
    assert "=" in chart, "what the specification lets the fluids weigh"


@pytest.mark.parametrize(("name", "units"), [("caving-lens", "us"), ("river-crossing", "si")])
def test_the_readme_shows_what_is_printed(planned, name, units):
    """Without the line of versions and digests. METHODPICK_GOLDEN=write brings the page up to date."""
    plan = planned(name)
    printed = page(plan_pages(plan), units=units).splitlines()
    shown = "\n".join(line for line in printed if plan.rulebook.digest[:12] not in line)
    readme = Path(__file__).parents[2] / "README.md"
    before, after = readme.read_text(encoding="utf-8").split(f"<!-- report {name} {units} -->\n```text\n")
    old, rest = after.split("```\n", 1)
    if os.environ.get("METHODPICK_GOLDEN") == "write":
        readme.write_text(f"{before}<!-- report {name} {units} -->\n```text\n{shown.strip()}\n```\n{rest}", encoding="utf-8")
        return
    assert old == shown.strip() + "\n"


def test_a_table_without_room_for_its_words_goes_over_several_and_breaks_none(takeoff):
    """The sheets are wider than 80 columns; no word is cut that would have room, and the first column stands in each part."""
    tables = make_tables(takeoff("karst"), "us", ())
    shown = page(sheets_document([table for table in tables if table.name == "method_schedule"]))
    assert max(map(len, shown.splitlines())) <= 80
    words = shown.split()
    for word in ("combination", "conditional", "diameter,", "lowest,"):
        assert word in words
    assert words.count("R1") > 1
