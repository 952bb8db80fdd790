"""What the rulebook says of its evidence holds: what is called read was read, and numbers stand beside their sources."""

import pytest

from methodpick.document.record import caution_sources
from methodpick.engine.read import PLACEHOLDER
from methodpick.unit_markup import mark_plainly
from methodpick.units import read_as

OWN = {"own", "practice"}
IN_PART = ("abstract", "opening")


def test_a_document_known_by_its_abstract_or_opening_is_not_called_read(book):
    told = [source.key for source in book.sources.values() if any(word in source.note for word in IN_PART) and source.confidence == "read"]
    assert told == []


def test_a_number_that_rules_a_state_out_is_published_or_says_why_it_is_not(book):
    silent = [
        (rule.id, name)
        for rule in book.rules
        if rule.effect == "exclude" and rule.level == "must"
        for name in rule.limits
        if (book.limits[name].source in OWN or book.limits[name].confidence == "own")
        and not any("no published number" in cited.where for cited in rule.source)
    ]
    assert silent == []


def test_values_whose_source_is_an_inspection_list_are_gone(book):
    """The list was an inspection program's template and no text of an authority."""
    assert not any("checklist" in source.note for source in book.sources.values())
    assert {book.limits[name].source for name in ("overpour_alarm", "overcast_m")} == {"own"}


def test_what_the_sources_do_not_say_is_not_cited_for_them(book):
    """1.25 against uplift has no source; GEC 10 gives 1010 kg/m3 as a ceiling, not as the density of a polymer fluid."""
    assert book.limits["uplift_factor_recommended"].source == "own"
    assert {cited.key for cited in book.by_id["base-little-margin-against-uplift"].source} == {"own"}
    assert book.values["polymer_density_kg_m3"] <= 1000 + 1.2, "water and at most 1.2 kg of polymer in a cubic metre"
    assert book.limits["pull_head_m"].source == "ohio-cms-524"
    assert {cited.key for cited in book.by_id["polymer-exposure"].source} == {"lam-2015"}


NAMED = {"100 %": "a hole that is closed", "50 kV": "the class of power lines of 29 CFR 1926.1408, beside its distance"}
"""Numbers in a sentence that are no judgement, and what they are."""


def test_no_sentence_of_a_rule_prints_a_judgement_as_a_bare_number(book):
    """A number that somebody could see otherwise is a limit, which stands beside its source and follows an overlay."""
    printed = []
    for rule in book.rules:
        for sentence in (rule.because, *rule.treatment.values()):
            bare = PLACEHOLDER.sub("", sentence)
            for known in NAMED:
                bare = bare.replace(known, "")
            if any(letter.isdigit() for letter in bare):
                printed.append((rule.id, sentence))
    assert printed == []


@pytest.mark.parametrize("site", ["saturated-sand", "river-crossing"])
def test_every_number_of_the_rulebook_in_a_caution_stands_beside_its_source(site, planned, book):
    for caution in planned(site).shafts[0].cautions:
        printed = [name for name in PLACEHOLDER.findall(book.by_id[caution.rule].because) if name in book.limits]
        assert {limit.limit for limit in caution.limits} == set(printed), caution.rule
        told = caution_sources(caution)
        for name in printed:
            limit = book.limits[name]
            assert mark_plainly(limit.value, read_as(name, limit.unit)) in told
            assert limit.source in told
