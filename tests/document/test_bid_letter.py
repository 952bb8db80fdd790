"""The letter of a bid tells kinds that are built alike together, and loses nothing that is offered of any, nor one that is not offered."""

import re
from dataclasses import replace
from io import StringIO

import pytest
from rich.console import Console

from methodpick.document.bid_letter import TABLES, bid_letter
from methodpick.document.built_with import casing_in_short, why_placed_so
from methodpick.document.model import Document, Page, Paragraph, TextTable, texts_of
from methodpick.document.pages import group_shafts
from methodpick.formats.console import print_document
from methodpick.unit_markup import lowered, number, spell

MOST_LINES = 120
"""The letter of 26 kinds at 80 columns: two printed pages; 343 lines with a paragraph a kind."""
SITES = ("viaduct", "karst", "saturated-sand", "stiff-clay", "artesian-sand", "bell-in-wet-ground", "twenty-layers")


def words_of(part):
    return texts_of(Document("", (Page("", (), (part,)),), ""), "us")


def us(text):
    return " ".join(spell(text, "us").split())


def table_of(part):
    """Return the row of each kind by its first shaft: what stands below each head, those of further tables included."""
    found = {}
    for block in part.blocks:
        if isinstance(block, TextTable):
            for row in block.rows:
                cells = dict(zip((us(head).split(", ")[0] for head in block.heads), (us(cell) for cell in row), strict=True))
                found.setdefault(re.split(r"[,;]", row[0])[0], {}).update(cells)
    return found


def read_for(text, row, shaft):
    """Return a sentence as it reads for a kind: its number for each letter, and what has a name by its number."""
    starter = next((casing.base_m for casing in shaft.casings if casing.kind == "starter"), None)
    named = {"the tip": number(shaft.tip_depth_m, "m"), "the base of the starter": number(starter, "m")}
    for words, depth in named.items():
        text = text.replace(words, us(depth))
    return re.sub(r"\b[A-Z]{1,2}\b(?=[ ,;.])(?!-)", lambda found: f"{row[found[0]]} ft" if found[0] in row else found[0], text)


def of_kind(texts, name, names):
    """Return the sentences that are of a kind: those of all, those with its name, and those of the others where none named it."""
    found = []
    for text in texts:
        head, stop, rest = text.partition(": ")
        of = head.split(", ")
        if stop and all(each in names for each in of):
            found += [rest] if name in of else []
        else:
            found.append(text.removeprefix("The others: "))
    return found


@pytest.fixture(scope="module")
def letters(planned):
    """Letters of sites, and of a viaduct with shafts of which one is not proven, so that it stands among many kinds."""
    plans = {site: planned(site) for site in SITES}
    mixed = replace(plans["viaduct"], shafts=(*plans["viaduct"].shafts, *plans["bell-in-wet-ground"].shafts))
    return {site: (made, bid_letter(made)) for site, made in {**plans, "mixed": mixed}.items()}


def ways_in(letter):
    """Return the sections that several kinds share."""
    return [part for part in letter.pages[0].sections if any(isinstance(block, TextTable) for block in part.blocks)]


def test_the_letter_of_a_viaduct_is_two_pages(letters):
    out = StringIO()
    print_document(letters["viaduct"][1], Console(file=out, width=80), "us")
    assert len(out.getvalue().splitlines()) <= MOST_LINES


@pytest.mark.parametrize("site", [*SITES, "mixed"])
def test_every_kind_is_in_one_place_with_all_its_shafts(letters, site):
    """By row or by title, and a site without a table says nothing of letters."""
    made, letter = letters[site]
    told = [name for part in ways_in(letter) for name in table_of(part)]
    titles = [part.title for part in letter.pages[0].sections]
    for group in group_shafts(made.shafts):
        assert told.count(group.first.id) + titles.count(group.title) == 1
    for part in ways_in(letter):
        rows = [row for block in part.blocks if isinstance(block, TextTable) and block.heads[0] == "shafts" for row in block.rows]
        by_first = {group.first.id: group for group in group_shafts(made.shafts)}
        for row in rows:
            group = by_first[re.split(r"[,;]", row[0])[0]]
            assert row[0].split("; ")[0] == group.names
            assert (f"; {group.count} in all" in row[0]) is (group.count > len(group.shafts))
    assert (us(TABLES) in words_of(letter.pages[0].sections[0])) is bool(ways_in(letter))


@pytest.mark.parametrize("site", [*SITES, "mixed"])
def test_what_is_not_proven_stands_alone_with_what_is_to_be_settled(letters, site):
    made, letter = letters[site]
    shared = {name for part in ways_in(letter) for name in table_of(part)}
    for group in group_shafts(made.shafts):
        if not (group.first.has_method and group.first.proven):
            assert group.first.id not in shared
            (part,) = [part for part in letter.pages[0].sections if part.title == group.title]
            assert "Not yet offered" in words_of(part)
            assert any(isinstance(block, Paragraph) and block.tone == "danger" for block in part.blocks)


def test_a_site_of_few_kinds_has_a_paragraph_for_each(letters):
    """A schedule of three rows says less than three paragraphs."""
    assert [site for site, (_, letter) in letters.items() if ways_in(letter)] == ["viaduct", "mixed"]


def test_offer_casings_and_logs_of_every_kind_are_read_off_its_row(letters):
    """The offer word for word, each casing with its wall and ends, the tip, the log and where it ends."""
    made, letter = letters["mixed"]
    kinds = {group.first.id: group.first for group in group_shafts(made.shafts)}
    checked = 0
    for part in ways_in(letter):
        rows = table_of(part)
        (offered,) = [us(block.text) for block in part.blocks if isinstance(block, Paragraph) and block.tone == "strong"]
        offers = re.split(r"(?<=\.) (?=(?:[A-Z0-9, -]+: )?We offer)", offered)
        (told,) = [us(block.text) for block in part.blocks if isinstance(block, Paragraph) and not block.tone]
        items = re.split(r"(?<=\.) ", told)
        for name, row in rows.items():
            shaft, checked = kinds[name], checked + 1
            (offer,) = of_kind(offers, name, rows)
            assert read_for(offer, row, shaft) == us(f"We offer to {lowered(shaft.decision)}")
            lines = [read_for(text, row, shaft) for text in of_kind(items, name, rows)]
            for index, casing in enumerate(shaft.casings, 1):
                wanted = us(casing_in_short(index, casing))
                assert any(line == wanted or line.replace(" ft to ", " to ") == wanted for line in lines), wanted
            assert row["tip"] == us(number(shaft.tip_depth_m, "m")).removesuffix(" ft")
            assert row["log"] == shaft.boring
            assert row["ends"] == us(number(shaft.ground.end_m, "m")).removesuffix(" ft")
            assert any(line.startswith("Relied on: the log, and water ") for line in lines)
            assert any(line.startswith("Concrete, dry: ") for line in lines) is bool(why_placed_so(shaft))
    assert checked == len(kinds) - 1, "all but the one that is not offered"


def test_a_span_holds_the_rise_of_every_kind(letters):
    """10.3, 7.2 and 7.3 in/h likely at B14 and B15, 11 at B12 and 9.9 at B13: written beside each other once."""
    (part,) = [part for part in ways_in(letters["viaduct"][1]) if "B14-1" in table_of(part)]
    assert "slower than 12 in/h (7.2 to 11, 0 to more than 390 in/h)" in words_of(part)
    assert "Measure the rise before the pour" in words_of(part)


def test_logs_are_named_once_with_their_days_where_all_have_one(letters):
    made, letter = letters["viaduct"]
    based_on = texts_of(Document("", letter.pages, ""), "us")
    assert "Logs: V-1, V-2, V-3, V-4, V-5, V-6, V-7, V-8, V-9, V-10, V-11, V-12, drilled 2026-03-02 to 2026-03-17." in based_on
    undated = [replace(shaft, ground=replace(shaft.ground, date="")) if shaft.boring == "V-1" else shaft for shaft in made.shafts]
    assert "V-11, V-12. " in texts_of(bid_letter(replace(made, shafts=tuple(undated))), "us")
