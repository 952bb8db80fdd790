"""A user's own limit decides, and every page says whose value it is."""

import pytest

from methodpick.document.model import texts_of
from methodpick.document.report import plan_pages
from methodpick.engine.load import load_rulebook
from methodpick.plan.pipeline import plan
from methodpick.resources import folder

OURS = """overlay: ours
title: Harrow Reach piling, house rules
level: company
set:
  dry_rise_m_h:
    value: 0.15
    unit: m/h
    source: own
    where: house rule 4
    confidence: own
"""


@pytest.fixture
def ours(tmp_path):
    path = tmp_path / "ours.yaml"
    path.write_text(OURS, encoding="utf-8")
    return load_rulebook(folder("rules"), [path])


def test_an_overlay_of_ten_lines_changes_the_dry_limit_and_the_page_says_so_beside_the_value(ours, site):
    made = plan(site("stiff-clay"), ours)
    assert "0.15|m/h⟧ (set by ours)" in made.shafts[0].placement.why
    page = texts_of(plan_pages(made), "si")
    assert "150 mm/h (set by ours)" in page
    assert "dry rise: 150 mm/h, by ours (own house rule 4; own value)" in page


def test_a_stricter_dry_limit_turns_the_placement_wet(ours, book, read_text):
    # Rise of about 0.2 m/h: below 0.3 m/h (12 in/h) dry, above 0.15 m/h wet; the rate is set by the permeability alone.
    text = """methodpick: 1
site: {units: si, name: Harrow Reach}
borings:
  - id: B-1
    technique: auger
    water: [{reading: settled, depth: 4, after: 24 h}]
    layers:
      - {top: 0, base: 6, description: "stiff grey clay", symbol: CL, su: 90 kPa, permeability: 1e-9 m/s}
      - {top: 6, base: 20, description: "weak mudstone", symbol: rock, permeability: PERM m/s, rqd: 60 %}
shafts: [{id: P1, boring: B-1, diameter: 1200 mm, tip: 12}]
"""
    found = {}
    for k in ("2e-7", "5e-7", "1e-6", "2e-6", "4e-6"):
        made = read_text(text.replace("PERM", k))
        found[k] = (plan(made, book).shafts[0].placement.state, plan(made, ours).shafts[0].placement.state)
    assert ("dry", "wet") in found.values(), found
    assert ("wet", "dry") not in found.values()


def test_the_base_book_sets_nothing_beside(planned):
    assert planned("stiff-clay").rulebook.set_by_overlays == ()
    assert "(set by" not in planned("stiff-clay").shafts[0].placement.why


def test_an_agency_value_from_memory_is_marked_for_a_look_in_the_book(site):
    home = folder("rules")
    made = plan(site("saturated-sand"), load_rulebook(home, [home / "agencies" / "wsdot.yaml"]))
    assert "look it up in the book of the contract" in texts_of(plan_pages(made), "us")
