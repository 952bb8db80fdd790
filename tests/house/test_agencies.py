"""Every shipped agency overlay loads, checks clean, plans the examples, and holds values of its agency.

The published values below come from the standard specifications named beside them; where nothing else is said they are
recalled from the cited text ("from memory"), and the overlay marks them so.
"""

import pytest
from shipped import shipped_rulebook
from shipped import shipped_under as under

from methodpick.cli.rules import read_by_the_program
from methodpick.engine.check import check_rulebook
from methodpick.engine.load import overlay_path
from methodpick.engine.read import PLACEHOLDER
from methodpick.patterns import pattern_of
from methodpick.plan.pipeline import plan
from methodpick.resources import folder
from methodpick.units import convert

RULES = folder("rules")
AGENCIES = sorted(path.stem for path in (RULES / "agencies").glob("*.yaml"))
LATER = pytest.mark.ci_only("checks the whole rulebook under one more overlay")
FIRST = {"aashto", "caltrans", "en1536"}
"""The overlays that the plain test command checks and plans with: the one with the most rules, and one with limits by diameter."""


def test_the_shipped_book_has_no_finding_at_all():
    assert [finding.render() for finding in check_rulebook(RULES, [], read_by_the_program)] == []


SOME_LATER = [pytest.param(name, marks=() if name in FIRST else LATER) for name in AGENCIES]


@pytest.mark.parametrize("name", SOME_LATER)
def test_an_overlay_checks_clean(name):
    assert [finding.render() for finding in check_rulebook(RULES, [overlay_path(RULES, name)], read_by_the_program)] == []


MORE = pytest.mark.ci_only("plans one more example under every overlay")


@pytest.mark.parametrize("example", ["river-crossing", pytest.param("saturated-sand", marks=MORE)])
@pytest.mark.parametrize("name", SOME_LATER)
def test_an_overlay_plans_the_examples(name, example, site, planned):
    made = plan(site(example), under(name))
    assert len(made.shafts) == len(planned(example).shafts)
    assert made.rulebook.overlays == (name,)
    assert made.rulebook.digest != planned(example).rulebook.digest


US_ALONE = pattern_of(r"\d (?:ft|in|degF|psi|pcf)\b(?! \()")


@pytest.mark.parametrize("name", AGENCIES)
def test_the_feet_and_inches_of_a_sentence_stand_beside_their_metric(name):
    """What is no limit of the rulebook is printed as it is written, on the page of an SI site too."""
    sentences = [sentence for rule in under(name).rules for sentence in (rule.because, *rule.treatment.values())]
    assert [sentence for sentence in sentences if US_ALONE.search(PLACEHOLDER.sub("", sentence))] == []


@pytest.mark.parametrize("name", AGENCIES)
def test_an_overlay_owns_up_to_how_well_its_values_are_known(name):
    for limit in under(name).limits.values():
        if limit.origin == name:
            assert limit.confidence in {"read", "digest", "secondary", "memory"}
            assert limit.source in under(name).sources
            assert limit.where


@pytest.mark.parametrize(
    ("name", "limit", "value", "unit"),
    [
        ("caltrans", "fluid_head_mineral_m", 10, "ft"),  # Standard Specifications 49-3.02, from memory
        ("caltrans", "mineral_density_max_kg_m3", 75.0, "pcf"),  # the same, before final cleaning and before concrete
        ("caltrans", "slurry_diameter_least_m", 24, "in"),  # the same: no slurry below 24 in
        ("fdot", "fluid_head_mineral_m", 4, "ft"),  # Section 455-15.8, from memory
        ("fdot", "mineral_density_max_kg_m3", 73, "pcf"),  # the same, fresh water
        ("wsdot", "fluid_head_polymer_m", 10, "ft"),  # Section 6-19, from memory
        ("ncdot", "fluid_head_polymer_m", 10, "ft"),  # Section 411, from memory
        ("aci336", "dry_water_m", 2, "in"),  # ACI 336.1-01, from memory
        ("aashto", "fluid_head_mineral_m", 4, "ft"),  # LRFD Bridge Construction 5.4, older text, from memory
        ("aashto", "mineral_density_max_kg_m3", 72, "pcf"),  # the same, table of slurry properties
        ("aashto", "tremie_embedment_m", 5, "ft"),  # the same, least embedment
        ("fdot", "mineral_density_min_kg_m3", 64, "pcf"),  # Section 455-15.8, from memory, fresh water
        ("fdot", "mineral_density_salt_min_kg_m3", 66, "pcf"),  # the same, salt water
        ("fdot", "mineral_density_salt_max_kg_m3", 75, "pcf"),  # the same, salt water
        ("caltrans", "mineral_density_salt_max_kg_m3", 77, "pcf"),  # 49-3.02, from memory: 75 pcf and 2 more in salt water
        ("txdot", "position_tolerance_m", 1, "in"),  # Item 416, from memory, under a column
        ("wsdot", "mineral_density_min_kg_m3", 63, "pcf"),  # Section 6-19.3, from memory
        ("scdot", "slump_wet_min_m", 7, "in"),  # 712.03, quoted in course material
        ("massdot", "slump_wet_max_m", 9, "in"),  # 3.2.3.2, quoted in course material: 8 in, 1 in either way
        ("en1536", "mineral_intro_density_max_kg_m3", 1.10, "g/ml"),  # table 1, fresh, from memory
        ("is2911", "mineral_intro_density_max_kg_m3", 1.10, "g/ml"),  # as summarised
        ("sperwall", "mineral_density_max_kg_m3", 1.15, "g/ml"),  # table of support fluids, from memory
    ],
)
def test_values_of_the_agencies(name, limit, value, unit):
    found = under(name).limits[limit]
    wanted = convert(value, unit, "m" if limit.endswith("_m") else "kg/m3")
    assert found.value == pytest.approx(wanted, rel=1e-3)


def test_more_values_of_the_agencies():
    assert under("fdot").values["dry_rise_m_h"] == pytest.approx(12 * 0.0254 / 4, rel=1e-3), "12 in in 4 h: 455-15.2, from memory"
    assert under("aci336").values["dry_rise_m_h"] == pytest.approx(15 * 0.0254, rel=1e-3), "1/4 in a minute: ACI 336.1, from memory"
    assert under("txdot").values["mineral_sand_max_percent"] == 6, "6 %, not 4: Item 416, from memory"
    assert under("txdot").values["plumb_percent"] == pytest.approx(100 / 120, abs=0.005), "1 in per 10 ft: Item 416, from memory"
    assert under("sperwall").values["plumb_percent"] == pytest.approx(100 / 75, abs=0.005), "1 in 75: from memory"
    assert under("fdot").values["mineral_marsh_max_s"] == 40, "28 to 40 s: 455-15.8, from memory"
    assert under("caltrans").values["water_sand_max_percent"] == 0.5, "water slurry: 49-3.02, from memory"


@pytest.mark.parametrize(
    ("limit", "value", "unit"),
    [
        # AASHTO LRFD Bridge Construction, section 5, table of slurry properties, from memory
        ("mineral_density_min_kg_m3", 64.3, "pcf"),
        ("mineral_density_max_kg_m3", 1.15, "g/ml"),  # FHWA-NHI-18-024 chapters 5 and 14, digest
        ("polymer_density_max_kg_m3", 64, "pcf"),
        ("mineral_density_salt_min_kg_m3", 66.3, "pcf"),
        ("mineral_density_salt_max_kg_m3", 74, "pcf"),  # 2 pcf more in salt water
        ("mineral_intro_density_max_kg_m3", 69.1, "pcf"),  # FHWA-IF-99-025 chapter 15, at introduction, from memory
        ("polymer_density_salt_max_kg_m3", 66, "pcf"),  # Florida 455-15.8, salt water, from memory
        ("base_sediment_m", 0.5, "in"),
        ("base_sediment_max_m", 1.5, "in"),  # AASHTO 5.4, from memory
        ("bar_clear_m", 5, "in"),  # UFC 3-220-20 section 6-4.2.2, read
        ("slump_wet_min_m", 8, "in"),
        ("slump_wet_max_m", 10, "in"),  # FHWA-NHI-18-024 sections 3.3 and 7.5, digest
        ("slump_dry_min_m", 6, "in"),
        ("slump_dry_max_m", 8, "in"),  # the same
        ("spoil_edge_m", 2, "ft"),
        ("power_line_m", 10, "ft"),  # 29 CFR 1926.651(j), read; 1926.1408, from memory
    ],
)
def test_rows_of_the_base(limit, value, unit):
    assert shipped_rulebook().values[limit] == pytest.approx(convert(value, unit, "m" if limit.endswith("_m") else "kg/m3"), rel=1e-3)


def test_an_agency_row_is_said_with_its_own_numbers_and_its_name(site):
    """Florida: 73 pcf (1169 kg/m3) in fresh water: 455-15.8, from memory."""
    shaft = plan(site("saturated-sand"), under("fdot")).shafts[0]
    text = next(one.text for one in shaft.cautions if one.rule == "mineral-limits-before-concrete")
    assert "⟦1169|kg/m3⟧ (set by fdot)" in text
    assert "⟦28|s⟧ to" in text, "what the agency does not set is the base's and bears no name"


def test_what_an_agency_forbids_is_ruled_out(site):
    polymer = plan(site("saturated-sand"), under("txdot")).shafts[0]  # Item 416 (2014), from memory: no polymer solution
    assert all(interval.verdicts["polymer"].state == "ruled_out" for interval in polymer.intervals)
    assert polymer.slurry is None or "mineral" in polymer.decision
    water = plan(site("saturated-sand"), under("iowa")).shafts[0]  # Iowa DOT 2433.02, read: mineral or polymer only
    assert all(interval.verdicts["water"].state == "ruled_out" for interval in water.intervals)


def test_a_higher_head_is_kept_or_said_to_be_missing(site, planned):
    """Caltrans asks for 10 ft of head: the level rises to it as far as the stick-up goes, or the reasons say what is missing."""
    usual, asked = planned("saturated-sand").shafts[0], plan(site("saturated-sand"), under("caltrans")).shafts[0]
    assert asked.slurry is not None
    assert asked.slurry.head_m >= min(convert(10, "ft", "m") - 1e-6, usual.slurry.head_m)
