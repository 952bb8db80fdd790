"""What the words of a log, its blow counts and what happened in the boring do to the facts and to the choice."""

import pytest

from methodpick.ground.descriptions.reader import read_description
from methodpick.plan.pipeline import plan
from methodpick.plan.plan_context import PlanBasis, PlanContext
from methodpick.plan.reasons.notes import FAMILY_WORDS

SITE = """methodpick: 1
site: {{units: si{site}}}
borings:
  - id: B-1
    depth: 30
    hammer_efficiency: 60
    water: [{{reading: settled, depth: {water}}}]
    remarks: [{remarks}]
    layers:
{layers}
    spt: [{spt}]
shafts: [{{id: P1, diameter: 1200, tip: {tip}}}]
"""


def site_text(layers, *, water=20, tip=14, remarks="", spt="", site=""):
    tops = [0, *(base for base, _ in layers)]
    lines = "\n".join(f"      - {{top: {top}, base: {base}, {words}}}" for top, (base, words) in zip(tops, layers, strict=False))
    return SITE.format(layers=lines, water=water, tip=tip, remarks=remarks, spt=spt, site=site)


@pytest.fixture
def context_of(book, read_text):
    def context(layers, **more):
        site = read_text(site_text(layers, **more))
        return PlanContext(PlanBasis(site, book, book.assumptions), site.borings[0], site.shafts[0])

    return context


@pytest.fixture
def planned_site_of(book, read_text):
    return lambda layers, **more: plan(read_text(site_text(layers, **more)), book).shafts[0]


def fact(context, depth_m, name):
    judged = next(judged for judged in context.ground.slices if judged.top_m <= depth_m < judged.base_m)
    return judged.sheet.value(name)


# ---- words against a symbol


@pytest.mark.parametrize(
    ("words", "soils", "likely"),
    [
        ("highly weathered granite", {"weathered_rock"}, "weathered_rock"),
        ("weathered shale", {"weathered_rock", "rock"}, "weathered_rock"),
        ("moderately weathered basalt", {"weathered_rock", "rock"}, "rock"),
        ("shale, weathered then sound", {"weathered_rock", "rock"}, "rock"),
        ("slightly weathered granite", {"rock"}, "rock"),
        ("strong sandstone", {"rock"}, "rock"),
    ],
)
def test_weathered_in_the_words_wins_over_the_symbol_for_rock(words, soils, likely):
    """A symbol for rock says nothing of its weathering (ISRM grades stand in the description)."""
    read = read_description(words, "rock")
    assert (read.soils, read.likely, read.doubt) == (soils, likely, "")


# ---- voids of fill, karst


FILL = 'description: "fill of brick and concrete rubble, voids", origin: fill'
CLAY = 'description: "stiff brown clay", symbol: CL, su: 90, unit_weight: 19.5, absent: [fissured]'


def test_voids_between_the_pieces_of_fill_are_no_karst(context_of, planned_site_of):
    context = context_of([(4, FILL), (30, CLAY)])
    assert fact(context, 2.0, "cavities").values == {"no"}
    assert fact(context, 2.0, "open_ground").likely == "yes"
    assert context.gatherer.base.value("karst_pointer").values == {"no"}
    shaft = planned_site_of([(4, FILL), (30, CLAY)])
    assert not any(casing.kind == "permanent" for casing in shaft.casings)
    assert not any(caution.rule.startswith("karst") for caution in shaft.cautions)


def test_voids_in_soil_over_rock_and_old_workings_stay_what_they_are(context_of):
    natural = context_of([(4, CLAY.replace("stiff brown clay", "stiff clay with voids")), (30, CLAY)])
    assert fact(natural, 2.0, "cavities").likely == "yes" or fact(natural, 2.0, "cavities").values == {"yes"}
    mined = context_of([(4, FILL.replace("voids", "voids of old mine workings")), (30, CLAY)])
    assert context_of([(4, FILL), (30, CLAY)]).gatherer.base.value("karst_pointer").values == {"no"}
    assert mined.gatherer.base.value("karst_pointer").values == {"yes"}


def test_vuggy_rock_may_hold_cavities_and_likely_holds_none(context_of):
    """A vug is a hole of a hand's size or less (glossaries of geology, from memory): it takes mortar, and is no void to be crossed."""
    vuggy = fact(context_of([(30, 'description: "strong grey limestone, vuggy in places", symbol: rock')]), 5.0, "cavities")
    assert (vuggy.values, vuggy.likely) == ({"yes", "no"}, "no")
    told = fact(context_of([(30, 'description: "strong grey limestone, vuggy, cavities", symbol: rock')]), 5.0, "cavities")
    assert told.values == {"yes"}


def test_water_comes_through_karst_as_through_no_jointed_rock(context_of):
    """Karst limestone 1e-6 to 1e-1 m/s, fractured rock 1e-8 to 1e-4 (Freeze and Cherry, table of permeability, from memory)."""
    rock = 'description: "strong limestone, jointed", symbol: rock, features: [jointed{more}], unit_weight: 24'
    karst = fact(context_of([(30, rock.replace("{more}", ", cavities"))]), 5.0, "permeability_m_s")
    assert (karst.low, karst.high) == pytest.approx((1e-6, 0.1))
    plain = rock.replace("limestone", "granite").replace("{more}", "") + ", absent: [cavities]"
    jointed = fact(context_of([(30, plain)]), 5.0, "permeability_m_s")
    assert (jointed.low, jointed.high) == pytest.approx((1e-8, 1e-4))


# ---- blow counts against the words


def test_blow_counts_that_contradict_the_words_widen_the_strength(context_of):
    """Stiff clay has 50 to 100 kPa and more; 2 blows are soft, some 12 kPa (Terzaghi and Peck): both stay possible."""
    words = 'description: "stiff clay", symbol: CL, unit_weight: 19'
    counts = ", ".join(f"{{depth: {depth}, n: 2}}" for depth in (2, 4, 6, 8))
    said = fact(context_of([(30, words)]), 5.0, "su_kpa")
    both = fact(context_of([(30, words)], spt=counts), 5.0, "su_kpa")
    assert both.high >= said.high
    assert both.low < 15.0
    assert both.low <= both.likely < said.low
    agreeing = fact(context_of([(30, words)], spt=counts.replace("n: 2", "n: 11")), 5.0, "su_kpa")
    assert said.low <= agreeing.low
    assert agreeing.high <= said.high


@pytest.mark.parametrize(
    ("words", "su", "likely", "may_be"),
    [
        ("Firm to stiff grey CLAY", 110, "stiff", {"firm", "stiff"}),
        ("Firm to stiff grey CLAY", 50, "firm", {"firm", "stiff"}),
        ("Firm grey CLAY", 110, "firm", {"firm"}),
        ("firm to stiff grey clay", 60, "stiff", {"firm", "stiff"}),
    ],
    ids=["the upper", "the lower", "neither of the words", "in American words"],
)
def test_a_tested_strength_says_which_of_the_words_is_likely(context_of, words, su, likely, may_be):
    """BS 5930: firm 40 to 75 kPa, stiff 75 to 150; Terzaghi and Peck: firm 25 to 50, stiff 50 to 100 (from memory). No word is lost."""
    found = fact(context_of([(30, f'description: "{words}", symbol: CL, su: {su}')]), 6.0, "consistency")
    assert (found.likely, found.values) == (likely, may_be)


@pytest.mark.parametrize(
    ("words", "likely_kpa", "high_kpa", "stand_up"),
    [("silty fine sand, moist", 6, 10, "hour"), ("silty fine sand, weakly cemented, moist", 9, 25, "shift")],
    ids=["moist", "weakly cemented"],
)
def test_weak_cement_holds_a_wall_above_water_on_top_of_its_moisture(context_of, words, likely_kpa, high_kpa, stand_up):
    """Sand of 5 to 30 kPa in compression has a cohesion of c = q / (2 tan(45 + phi / 2)), 1 to 8 kPa at 35 degrees, and stands in steep
    faces until it is wetted (Collins and Sitar 2011, from memory). None of it is counted on: the low end stays 0, and so does what falls
    within minutes."""
    context = context_of([(30, f'description: "medium dense {words}", symbol: SM, fines: 25 %')], water=25)
    found = fact(context, 6.0, "cohesion_available_kpa")
    assert (found.low, found.likely, found.high) == (0, likely_kpa, high_kpa)
    stands = fact(context, 6.0, "stand_up")
    assert stands.likely == stand_up
    assert "minutes" in stands.values


# ---- what happened in the boring


GRAVEL = 'description: "dense sandy gravel", symbol: GP, unit_weight: 20, phi: 36'


@pytest.mark.parametrize(
    ("words", "blows", "wall", "met_by_casing", "shaken"),
    [
        ("Firm brown CLAY", 40, "firm", "very_stiff", "no"),
        ("Firm brown CLAY", 8, "firm", "firm", "yes"),
        ("Stiff brown CLAY", 6, "stiff", "stiff", "no"),
        ("Firm brown CLAY", None, "firm", "firm", "yes"),
    ],
    ids=["harder by its blows", "the same by both", "softer by its blows", "no blows"],
)
def test_casing_meets_the_harder_of_words_and_blow_counts(context_of, words, blows, wall, met_by_casing, shaken):
    """CIRIA R143, from memory: 30 to 60 blows are very stiff clay, 4 to 8 soft to firm; vibration is for sand (GEC 10, 5.2)."""
    spt = "" if blows is None else ", ".join(f"{{depth: {depth}, n: {blows}}}" for depth in (3, 5, 7, 9))
    context = context_of([(2, "description: Loose SAND"), (30, f"description: {words}")], spt=spt)
    assert fact(context, 6, "consistency").likely == wall
    assert fact(context, 6, "consistency_as_driven").likely == met_by_casing
    assert fact(context, 6, "penetrable_vibrated").likely == shaken


def test_a_range_of_the_finest_tenth_bounds_the_permeability_and_the_soil_says_what_is_likely(context_of):
    """Hazen (0.01 d10^2 m/s for mm): 0.2 to 2 mm are 4e-4 to 4e-2 m/s, with a factor of 3; clean gravel likely has 5e-3 (class table)."""
    layers = [(10, "description: Medium dense sandy GRAVEL, symbol: GW, d10: {low: 0.2, high: 2}"), (30, "description: Stiff CLAY")]
    tested = fact(context_of(layers), 5, "permeability_m_s")
    untested = fact(context_of([(10, "description: Medium dense sandy GRAVEL, symbol: GW"), layers[1]]), 5, "permeability_m_s")
    assert tested.likely == untested.likely
    assert tested.low == pytest.approx(4e-4 / 3, rel=0.01)
    assert tested.low > untested.low


def test_gravel_that_took_the_drilling_water_is_cased_where_an_oscillator_is_at_hand(book, read_text):
    """Clean gravel is cased where both cost about the same; where it took the drilling water, fluid costs a fifth more at least.

    That both cost about the same is set by rates of the site.
    """
    prices = "rates: {cost_advance_oscillated_m: 1.2, cost_fill: 0}\n"
    layers = [(12, GRAVEL), (30, CLAY.replace("stiff", "very stiff"))]
    site = ", equipment: {oscillator: true, vibratory: false, rotator: false, kelly_twist: false}"
    lost = '{depth: 6, text: "drilling water lost", tag: fluid_loss}'
    dearer = []
    for remarks in (lost, ""):
        text = site_text(layers, water=3, site=site, remarks=remarks, tip=16).rstrip() + "\n" + prices
        shaft = plan(read_text(text), book).shafts[0]
        assert {interval.support for interval in shaft.intervals if interval.top_m < 8.0 < interval.base_m} == {"temporary_casing"}
        fluid = next(other for other in shaft.alternates if other.family == FAMILY_WORDS["slurry"])
        dearer.append(fluid.relative_cost / shaft.relative_cost)
    assert dearer[0] > 1.2
    assert dearer[1] < 1.15


def test_sand_in_which_the_boring_caved_is_not_left_open_dry(planned_site_of):
    """Damp sand with fines may stand; where the boring itself fell in, a shaft of 1.2 m does."""
    layers = [(6, 'description: "dense silty sand, cemented", symbol: SM, unit_weight: 19, phi: 36'), (30, CLAY)]
    caved = planned_site_of(layers, remarks='{depth: 3, text: "hole caved at 3 m", tag: collapse}')
    stood = planned_site_of(layers)
    at = next(interval for interval in caved.intervals if interval.top_m <= 3.0 < interval.base_m)
    assert at.verdicts["dry"].state == "ruled_out"
    assert all(interval.verdicts["dry"].state != "ruled_out" for interval in stood.intervals)


@pytest.mark.parametrize(
    "words",
    [
        "MADE GROUND (grey clay with chemical waste)",
        "MADE GROUND (firm grey sandy clay with much grey chemical ash)",
        "MADE GROUND: soft grey white galligu",
        "Soft black silty clay with spent oxide",
    ],
)
def test_wastes_of_industry_are_contamination(words):
    """Alkali waste (galligu), chemical ash and gasworks waste are contaminants by their names (common practice, no source)."""
    assert "contaminated" in read_description(words).features


def test_contamination_that_a_log_names_is_certain_in_soil_and_open_in_rock(context_of):
    """Rock has oil of its own and no casing goes ahead through it: its contamination stays a doubt, and a shaft can still be planned."""
    layers = [(6, "description: 'stiff grey clay, oily smell', symbol: CL, su: 100"), (30, "description: 'grey shale, oily', symbol: rock")]
    slices = context_of(layers).ground.slices
    found = {judged.slice.stratum.likely: judged.sheet.choice("contaminated_fill").values for judged in slices}
    assert found["clay"] == {"yes"}
    assert found["rock"] == {"yes", "no"}


# ---- a slab or wall is broken out: common practice, no source


SLAB = [(2, "description: Firm sandy CLAY"), (2.6, "description: Reinforced CONCRETE slab"), (30, "description: Stiff CLAY, n: [18]")]


def test_a_slab_stops_augers_and_casing_and_takes_no_fluid(context_of):
    context = context_of(SLAB)
    answers = {
        name: fact(context, 2.3, name).likely for name in ("drillable_auger", "penetrable_vibrated", "penetrable_twisted", "open_ground")
    }
    assert answers == dict.fromkeys(answers, "no")
    assert fact(context, 2.3, "stand_up").likely not in ("none", "minutes")


def test_no_casing_goes_ahead_of_the_drill_through_a_slab(planned_site_of):
    layers = [
        (0.3, "description: Reinforced CONCRETE slab"),
        (2, "description: 'MADE GROUND: firm sandy gravelly clay with brick fragments'"),
        (6, "description: Medium dense sandy GRAVEL, n: [22, 25]"),
        (30, "description: Stiff fissured CLAY, n: [18]"),
    ]
    slab = planned_site_of(layers, water=2.5, tip=16).intervals[0]
    assert (slab.base_m, slab.drilled_in) == (0.3, "dry")


# ---- what is normal where the soil is open


@pytest.mark.parametrize(
    ("words", "soils", "name", "likely"),
    [
        ("description: sand, symbol: SP-GP", {"clean_sand", "clean_gravel"}, "open_ground", "no"),  # never in sand, likely not in gravel
        (
            "description: sand and sandstone, symbol: SP/rock",
            {"clean_sand", "rock"},
            "boulders",
            None,
        ),  # what is normal in sand says nothing of rock
        ("description: drift, symbol: CL/SM", {"clay", "silty_sand"}, "sensitive", "no"),  # likely not in clay, never in sand
    ],
)
def test_what_is_normal_in_each_soil_is_normal_where_the_soil_is_open(context_of, words, soils, name, likely):
    context = context_of([(30, words)])
    assert fact(context, 12, "soil").values == soils
    assert fact(context, 12, name).values == {"yes", "no"}
    assert fact(context, 12, name).likely == likely


# ---- clay of few blows under much ground


SAND_ON_TOP = 'description: "medium dense sand", symbol: SP, unit_weight: 19'
FILL_ON_TOP = 'description: "fill: medium dense sand", symbol: SP, unit_weight: 19, origin: fill'
FEW, SOME = ("{depth: 13, n: WOH}, {depth: 15, n: 1}, {depth: 18, n: 1}", "{depth: 13, n: 6}, {depth: 15, n: 7}, {depth: 18, n: 7}")


@pytest.mark.parametrize(
    ("over", "clay", "spt", "likely_kpa"),
    [
        (SAND_ON_TOP, 'description: "grey clay", symbol: CL', FEW, 23.9),
        (SAND_ON_TOP, 'description: "grey clay", symbol: CH, pi: 40', FEW, 33.5),
        (FILL_ON_TOP, 'description: "grey clay", symbol: CL', FEW, None),
        (SAND_ON_TOP, 'description: "sensitive grey clay", symbol: CL, features: [sensitive]', FEW, None),
        (SAND_ON_TOP, 'description: "grey clay", symbol: CL, su: 11', FEW, 11.0),
        (SAND_ON_TOP, 'description: "grey clay", symbol: CL', SOME, None),
    ],
    ids=["carries", "plastic", "under fill", "sensitive", "tested", "more blows"],
)
def test_clay_of_few_blows_likely_carries_what_lies_on_it(context_of, over, clay, spt, likely_kpa):
    """12 m of 19 kN/m3 with water at 2 m leave 228 - 98.1 = 129.9 kPa, and (0.11 + 0.0037 PI) of it, PI 20 where untested (Skempton).

    Counts say the same of soft clay at any depth, 6.25 kPa a blow (Terzaghi and Peck, from memory); fewer than five say little.
    Under fill, where the clay may still settle, and where it is sensitive the count stands.
    """
    strength = fact(context_of([(12, over), (24, clay)], water=2, spt=spt), 13.0, "su_kpa")
    by_count = {FEW: 6.0, SOME: 43.0}[spt]
    assert strength.likely == pytest.approx(by_count if likely_kpa is None else likely_kpa, rel=0.15 if likely_kpa is None else 0.01)
    assert strength.low <= 12.0 or spt == SOME, "the low end stays: nobody tested it"
