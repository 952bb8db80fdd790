"""The fluid programme: published doses, tests and limits of agencies, what the water asks for, and what is lost."""

from dataclasses import replace
from types import SimpleNamespace

import pytest
from shipped import shipped_under as under

from methodpick.ground.site import Chemistry, UserAssumption
from methodpick.plan.demands.fluid_length import sources_of
from methodpick.plan.fluid.programme import _standing
from methodpick.plan.pipeline import plan
from methodpick.resources import folder
from methodpick.units import GALLON_M3, POUND_KG, PSF_KPA, convert

RULES = folder("rules")
POUND_IN_1000_GALLONS = POUND_KG / GALLON_M3 / 1000
BARREL_M3 = 42 * GALLON_M3


def fluid_of(site, book, name="saturated-sand", fluid="mineral", **more):
    """Give the programme of the first shaft of an example with one fluid allowed and the site changed."""
    made = site(name)
    changed = made.site.model_copy(update={"fluids_allowed": (fluid,), **more})
    return plan(made.model_copy(update={"site": changed}), book).shafts[0].fluid_programme


def row(programme, name):
    return next(one for one in programme.controls if one.name == name)


def values(*limits):
    return tuple(None if one is None else one.value for one in limits)


# ---- doses in print


def test_doses_of_polymer_and_bentonite(book):
    """From memory: shafts take 3.5 to 6 % of bentonite by weight, and 4 to 10 lb of dry polymer in 1000 gal, more in coarser ground."""
    table = book.tables["fluid_dose"]
    clay, bentonite = [[one.then[name] for one in table.rows] for name in ("polymer_kg_m3", "bentonite_percent")]
    assert min(one.low for one in clay) == pytest.approx(4 * POUND_IN_1000_GALLONS, rel=0.05)
    assert max(one.high for one in clay) == pytest.approx(10 * POUND_IN_1000_GALLONS, rel=0.05)
    assert (min(one.low for one in bentonite), max(one.high for one in bentonite)) == (3.5, 6)
    for rows in (clay, bentonite):
        assert [one.likely for one in rows] == sorted(one.likely for one in rows)


def test_yield_of_grades(book):
    """API 13A, from memory: a short ton of bentonite gives about 90 bbl; OCMA grade 16 m3 a tonne; high-yield grades 140 to 200 bbl."""
    rows = {next(iter(one.when["bentonite_grade"].values)): one.then["bentonite_yield_m3_t"] for one in book.tables["bentonite_yield"].rows}
    barrels = BARREL_M3 / (2000 * POUND_KG / 1000)
    assert rows["natural_sodium"].likely == pytest.approx(90 * barrels, rel=0.02)
    assert rows["activated_calcium"].likely == 16
    extended = rows["polymer_extended"]
    assert (extended.low, extended.high) == pytest.approx((140 * barrels, 200 * barrels), rel=0.03)


def test_a_named_grade_is_the_one_in_the_mix(site, book):
    """Half the dose for twice the yield: 16 over 32 m3 a tonne (hand)."""
    usual = fluid_of(site, book).mix
    made = site("saturated-sand")
    said = UserAssumption(fact="bentonite_grade", set="polymer_extended")
    changed = made.model_copy(update={"site": made.site.model_copy(update={"fluids_allowed": ("mineral",)}), "assume": (said,)})
    other = plan(changed, book).shafts[0].fluid_programme.mix
    assert usual.grades[0].grade == "natural_sodium"
    assert other.grades[0].grade == "polymer_extended"
    doses = [next(one.kg_m3 for one in mix.ingredients if one.name == "bentonite") for mix in (usual, other)]
    assert doses[1] / doses[0] == pytest.approx(0.5)


def test_gel_strength_in_print(book):
    """UFC 3-220-01A table 6-3, read: 0.03 to 0.2 psf, printed as 1.4 to 10 N/m2."""
    assert book.values["mineral_gel_least_pa"] == pytest.approx(0.03 * PSF_KPA * 1000, rel=0.05)
    assert book.values["mineral_gel_most_pa"] == pytest.approx(0.2 * PSF_KPA * 1000, rel=0.05)


# ---- the stock


def test_the_stock_is_the_mix_times_the_stock(site, book):
    """A cubic metre times one and a half holes, or hole and losses where they are more; each ingredient and all (mass balance)."""
    for fluid in ("polymer", "mineral"):
        one = fluid_of(site, book, fluid=fluid)
        lost = 0.3 * one.hole_m3 + (one.loss.rate_m3_h or 0.0) * one.loss.hours_open + (one.loss.once_least_m3 or 0.0)
        assert one.stock_m3 == pytest.approx(max(1.5 * one.hole_m3, one.hole_m3 + lost))
        assert one.loss.reserve_m3 == pytest.approx(one.stock_m3 - one.hole_m3)
        for part in one.mix.ingredients:
            assert part.stock_kg == pytest.approx(part.kg_m3 * one.stock_m3)
            assert part.least_kg_m3 <= part.kg_m3 <= part.most_kg_m3
        solids = sum(part.kg_m3 for part in one.mix.ingredients if part.name != "soda ash")
        assert solids == pytest.approx(one.mix.fresh_density_kg_m3, rel=0.001)


def test_where_the_ground_may_take_the_fluid_a_second_hole_of_it_is_in_stock(takeoff):
    """Rock with cavities asks for a hole's volume in reserve (common practice, no source); takeoff and programme count it."""
    made = takeoff("karst")
    plans = [shaft for shaft in made.site.plan.shafts if shaft.fluid_programme is not None]
    assert plans
    for shaft in plans:
        programme = shaft.fluid_programme
        assert programme.stock_factor.limit == "fluid_stock_factor_where_lost"
        assert programme.stock_m3 == pytest.approx(2.0 * programme.hole_m3)
        assert {line.value for line in shaft.quantities if line.item.endswith("stock to have")} == {programme.stock_m3}
    (line,) = [line for line in made.site_lines if line.item == "mineral slurry, stock"]
    assert line.amount.likely == max(shaft.fluid_programme.stock_m3 for shaft in plans)
    assert line.formula.startswith("2 x the hole")


def test_a_least_dose_of_soda_ash_over_the_usual_most_is_the_most(site, book):
    """An overlay may set the one above the other; the dose written is never above the most that is written."""
    more = replace(book, limits={**book.limits, "soda_ash_least_kg_m3": replace(book.limits["soda_ash_least_kg_m3"], value=3.0)})
    (ash,) = [part for part in fluid_of(site, more, fluid="polymer").mix.ingredients if part.name == "soda ash"]
    assert (ash.kg_m3, ash.most_kg_m3) == (3.0, 3.0)


# ---- sand


def test_sand_of_polymer_and_slurry(site, book):
    """Own mass balance with quartz of 2650: polymer of 1000.8 with 1 % weighs 1017.3 and 1.47 % makes 1025; slurry of 1031.7 with 4 %
    weighs 1096.5, 7.3 % makes 1150, and 1080 holds 3.0 %.
    """
    polymer, mineral = (fluid_of(site, book, fluid=fluid).sand for fluid in ("polymer", "mineral"))
    assert polymer.density_at_sand_limit_kg_m3 == pytest.approx(1017.3, abs=0.1)
    assert polymer.sand_at_density_limit_percent == pytest.approx(1.47, abs=0.01)
    assert mineral.density_at_sand_limit_kg_m3 == pytest.approx(1096.5, abs=0.1)
    assert mineral.sand_at_density_limit_percent == pytest.approx(7.31, abs=0.02)
    assert mineral.sand_at_target_percent == pytest.approx(2.98, abs=0.02)
    assert "The sand is the tighter limit" in mineral.text


# ---- control


def test_the_control_sheet_of_texas(site):
    """Item 416 (2014), from memory: specific gravity 1.10 and 1 % of sand at introduction, 1.15 and 6 % before concrete, 45 s."""
    sheet = fluid_of(site, under("txdot"))
    density, marsh, sand = (row(sheet, name) for name in ("density", "Marsh time", "sand"))
    assert (density.introduction_high.value, density.concreting_high.value) == (1100, 1150)
    assert (sand.introduction_high.value, sand.concreting_high.value) == (1, 6)
    assert marsh.concreting_high.value == 45
    assert {one.set_by for one in (density.introduction_high, sand.introduction_high, marsh.concreting_high)} == {"txdot"}
    assert density.introduction_high.confidence == "memory"
    assert density.concreting_high.set_by == "", "the same as the base's"
    assert density.concreting_low.set_by == "", "what the agency does not set is the base's"


@pytest.mark.parametrize(
    ("agency", "fluid", "name", "wanted"),
    [
        # introduction low and high, before concrete low and high; all from memory but is2911 (summaries)
        ("caltrans", "mineral", "pH", (8, 10.5, 8, 10.5)),  # 49-3.02
        ("fdot", "mineral", "Marsh time", (32, 40, 28, 40)),  # 455-15.8: 28 to 40 s; 32 s in sand, FPS 4.1.2, read
        ("en1536", "mineral", "density", (1030, 1100, 1030, 1150)),  # table 1
        ("is2911", "mineral", "density", (1030, 1100, 1030, 1120)),
        ("sperwall", "mineral", "Marsh time", (32, 90, 30, 90)),
        ("caltrans", "polymer", "sand", (None, None, None, 0.5)),
        ("wsdot", "polymer", "pH", (6, 11.5, 6, 11.5)),
    ],
)
def test_rows_of_agencies(site, agency, fluid, name, wanted):
    one = row(fluid_of(site, under(agency), fluid=fluid), name)
    assert values(one.introduction_low, one.introduction_high, one.concreting_low, one.concreting_high) == wanted


def test_rows_for_salt_water(site, book):
    """AASHTO, from memory: 2 pcf more; the fresh slurry's own limit is for fresh water and is not said."""
    density = row(fluid_of(site, book, water_chemistry=Chemistry(chloride_mg_l=19000)), "density")
    assert (density.concreting_low.value, density.concreting_high.value) == pytest.approx(
        (convert(66.3, "pcf", "kg/m3"), convert(74, "pcf", "kg/m3")), abs=0.5
    )
    assert density.introduction_high is None


def test_gravel_wants_thicker_slurry(site, book):
    """FPS 4.1.2, read: 40 to 50 s in gravel, at least 32 s in sand."""
    assert row(fluid_of(site, book), "Marsh time").introduction_low.value == 32
    assert row(fluid_of(site, book, name="cobbles-thin"), "Marsh time").introduction_low.value == 40


def test_every_property_has_a_test_in_print_and_a_known_source(site, book):
    """ASTM D4380 density, D4381 sand, D6910 Marsh funnel; API 13B-1 for all four (from memory)."""
    wanted = {
        "density": {"astm-d4380", "api-13b-1"},
        "Marsh time": {"astm-d6910", "api-13b-1"},
        "pH": {"api-13b-1"},
        "sand": {"astm-d4381", "api-13b-1"},
    }
    one = fluid_of(site, book)
    assert {each.name: {cite.key for cite in each.standards} for each in one.controls} == wanted
    assert sources_of(one) <= set(book.sources)
    assert {"astm-d4380", "aashto-construction", "ufc-3-220-01a"} <= sources_of(one)


def test_the_page_s_bibliography_holds_the_programme_s_sources(planned):
    made = planned("artesian-sand")
    assert {"astm-d6910", "api-13a", "fhwa-1999"} <= set(made.sources)


def test_times_of_the_tests(site):
    """Caltrans, read: every 2 h, then twice a shift of 10 h; 24 h of hydration by Indian practice; 4 h of standing, from memory."""
    texts = [one.text for one in fluid_of(site, under("caltrans")).times]
    assert len(texts) == 4
    assert "⟦24|h⟧" in texts[0]
    assert "every ⟦2|h⟧" in texts[1]
    assert "every ⟦5|h⟧ (set by caltrans)" in texts[1]
    assert "⟦4|h⟧" in texts[2]
    assert "just before concrete" in texts[3]


# ---- which fluid


def test_how_the_fluids_stand(site, book):
    """Common practice: plain water holds no clean sand; Texas (2014, from memory) has no polymer."""
    made = plan(site("saturated-sand"), book).shafts[0].fluid_programme
    stand = {one.fluid: one for one in made.choice}
    assert made.choice[0].standing == "planned"
    assert made.choice[0].fluid == made.fluid
    assert stand["water"].standing == "ruled_out"
    assert stand["water"].rules
    assert stand["mineral"].standing == "open"
    texas = plan(site("saturated-sand"), under("txdot")).shafts[0].fluid_programme
    polymer = next(one for one in texas.choice if one.fluid == "polymer")
    assert (texas.fluid, polymer.standing, polymer.rules) == ("mineral", "ruled_out", ("txdot-no-polymer",))
    barred = fluid_of(site, book)
    assert next(one.standing for one in barred.choice if one.fluid == "polymer") == "not_allowed"


@pytest.mark.parametrize(
    ("chemistry", "findings"),
    [
        (None, ("not_tested", "not_tested", "not_tested")),
        (Chemistry(hardness_mg_l=300, chloride_mg_l=2000, ph=5.5), ("act", "act", "act")),  # over 250 and 1000 mg/L, under pH 6: own values
        (Chemistry(hardness_mg_l=200, chloride_mg_l=500, ph=7), ("good", "good", "good")),
    ],
)
def test_what_the_water_asks_for(site, book, chemistry, findings):
    assert tuple(one.finding for one in fluid_of(site, book, water_chemistry=chemistry).water) == findings


def test_polymer_takes_more_salt_than_bentonite(site, book):
    """Bentonite hydrates badly from 1000 mg/L of chloride, polymer has rows of its own from 10 000 (own values)."""
    water = Chemistry(chloride_mg_l=2000)
    assert fluid_of(site, book, water_chemistry=water).water[1].finding == "act"
    assert fluid_of(site, book, fluid="polymer", water_chemistry=water).water[1].finding == "good"


# ---- loss


def test_hours_under_fluid_end_with_the_bailing(planned):
    """Caving lens: fill 1.0 h, drill 0.7, casing 1.7, seal test 0.5 h before it is bailed: 3.9 h."""
    shaft = planned("caving-lens").shafts[0]
    hours = {}
    for stage in shaft.stages:
        hours.setdefault(stage.action, 0.0)
        hours[stage.action] += stage.hours or 0.0
    first = next(one.no for one in shaft.stages if one.action == "introduce_fluid")
    drilled = next(one.hours for one in shaft.stages if one.no == first + 1)
    assert shaft.fluid_programme.loss.hours_open == pytest.approx(
        hours["introduce_fluid"] + drilled + hours["set_casing"] + hours["seal_test"]
    )


def test_no_programme_without_a_fluid(planned):
    assert planned("stiff-clay").shafts[0].fluid_programme is None


@pytest.mark.parametrize(("planned", "reasons"), [("mineral", 2), ("water", 3)])
def test_two_reasons_are_given_against_a_fluid_and_one_more_for_the_planned_one(book, planned, reasons):
    """A page that says four is not read (own values)."""
    rules = tuple(sorted(book.by_id)[:4])
    verdict = SimpleNamespace(state="ruled_out", suits=(), rules=rules, open_musts=(), should=())
    judged = SimpleNamespace(logged=True, verdicts={"water": verdict}, outcomes=SimpleNamespace(holding=lambda _: ()), values=lambda _: {})
    length = SimpleNamespace(allowed=("water", "mineral"), slices=lambda: [judged], ground=SimpleNamespace(book=book))
    assert _standing(length, "water", planned).rules == rules[:reasons]


def test_a_bell_that_is_cut_under_fluid_is_full_of_it(planned):
    """By hand, 0.9 m and a bell of 1.8 m over 0.9 m: 0.781 m2 x 2.7 m in the starter of 0.997 m inside, 0.636 m2 x 7.7 m below, and
    pi/12 x 0.9 x (1.8^2 + 1.8 x 0.9 + 0.9^2) - 0.636 x 0.9 = 0.763 m3 of bell: 7.77 m3.
    """
    shaft = planned("bell-in-wet-ground").shafts[0]
    assert shaft.fluid_programme.hole_m3 == pytest.approx(7.77, abs=0.005)
