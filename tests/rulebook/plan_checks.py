"""Whole plans worked by hand: each check takes a rulebook and fails where a limit has moved.

The sums stand beside the numbers; the limits in them are those printed in rules/limits.yaml with their sources. Loaded by
tests/rulebook/test_checks.py and by tests/kill_rules.py.
"""

import re
from functools import cache

from methodpick.engine.explain import put_in
from methodpick.ground.site import StockCasing
from methodpick.imports.site_file import read_site
from methodpick.plan.build import Workshop
from methodpick.plan.pipeline import plan
from methodpick.plan.sizes import holds, splices
from methodpick.vocabulary.values import Span

CLAY = '{top: 0, base: 40, description: "stiff intact grey clay", symbol: CL, su: 100 kPa, unit_weight: 20 kN/m3}'
ROCK = '{top: 0, base: 40, description: "strong massive sandstone", symbol: rock, rqd: 95 %, ucs: 60 MPa}'
SAND = ('{top: 0, base: 40, description: "medium dense clean medium sand", symbol: SP, n: [15, 16], phi: 33, '
        'unit_weight: 19 kN/m3}')
LENS = ('{top: 0, base: 4, description: "stiff intact grey clay", symbol: CL, su: 100 kPa, unit_weight: 20 kN/m3}, '
        '{top: 4, base: 6, description: "medium dense clean medium sand, wet", symbol: SP, n: [15, 16]}, '
        '{top: 6, base: 40, description: "very stiff intact grey clay", symbol: CL, su: 180 kPa, unit_weight: 20 kN/m3}')
PLANT = ("vibratory", "oscillator", "rotator", "kelly_twist", "impact_hammer")


@cache
def site(layers, water=25.0, more="", shaft="diameter: 1000 mm, tip: 12", boring=""):
    return read_site(f"""methodpick: 1
site: {{units: si, name: Harrow Reach, surcharge: 0 kPa{more}}}
borings:
  - id: B-1
    technique: auger
    hammer_efficiency: 60 %
    water: [{{reading: settled, depth: {water}, after: 24 h}}]
    layers: [{layers}]{boring}
shafts: [{{id: P1, boring: B-1, {shaft}, count: 1}}]
""", "by-hand.yaml")[0]


def only(name):
    return ", equipment: {" + ", ".join(f"{one}: {'true' if one == name else 'false'}" for one in PLANT) + "}"


def shaft_of(book, *layers, **more):
    return plan(site(*layers, **more), book).shafts[0]


def shop_of(book, *layers, **more):
    made = site(*layers, **more)
    return Workshop(made, made.borings[0], made.shafts[0], book, book.assumptions)


def cost(shaft, family):
    return next(one.relative_cost for one in shaft.alternates if one.family == family)


def near(value, expected, share=0.001):
    assert abs(value - expected) <= share * abs(expected), (value, expected)


def stage(shaft, action):
    return next(one for one in shaft.stages if one.action == action)


def check_cost_of_dry_clay_and_of_its_other_ways(book):
    shaft = shaft_of(book, CLAY)
    # starter to 1.5 m; 10.5 m dry at 1.00 less 2 points of 0.05
    near(shaft.relative_cost, 10.5 * (1.00 - 2 * 0.05))
    # polymer: 10.5 m at 1.35 less 1 point, its plant 10, a tremie 4
    near(cost(shaft, "fluid to the tip"), 10.5 * (1.35 - 0.05) + 10 + 4)
    # a string seated at 4.2 m: 2 + 0.3 for each metre and for 1.07 m of stick-up; 1.5 m of it pushed, dug inside at 1.05
    string = 2 + 0.3 * (4.2 + 1.07)
    near(cost(shaft, "partial casing, then dry"), 9.0 * 0.9 + 1.5 * 1.05 + string)
    # left in: 2.5 a metre more, and 1 a metre because side resistance behind it is likely counted on
    near(cost(shaft, "permanent casing"), 9.0 * 0.9 + 1.5 * 1.05 + string + 4.2 * (2.5 + 1.0))
    # twisted to the tip, kept full: 1.35 a metre, string, 0.6 a metre and 1 for the twister, tremie 4
    near(cost(shaft, "casing to the tip"), 10.5 * 1.35 + 2 + 0.3 * (12 + 1.07) + 0.6 * 10.5 + 1 + 4)


def check_cost_of_the_other_fluids(book):
    mineral = shaft_of(book, CLAY, more=", fluids_allowed: [mineral]")
    near(cost(mineral, "fluid to the tip"), 10.5 * 1.45 + 14 + 4)
    # sandstone needs no starter: 12 m under water at 1.15, plant 3, tremie 4
    water = shaft_of(book, ROCK, more=", fluids_allowed: [water]")
    near(cost(water, "fluid to the tip"), 12 * 1.15 + 3 + 4)


def check_cost_of_bringing_casing_ahead(book):
    # sand, water at 3 m, starter to 3 m: 9 m with a plug at 1.40, string 2 + 0.3 x 13.07, tremie 4, then the way and its plant
    rest = 9 * 1.40 + 2 + 0.3 * 13.07 + 4
    for plant, metre, once in (("vibratory", 0.3, 4), ("kelly_twist", 0.6, 1), ("impact_hammer", 0.5, 6), ("oscillator", 1.2, 20)):
        near(cost(shaft_of(book, SAND, water=3, more=only(plant)), "casing to the tip"), rest + 9 * metre + once)


def check_cost_of_a_sealed_and_bailed_casing(book):
    shaft = shaft_of(book, LENS, water=3.5, shaft="diameter: 1000 mm, tip: 25")
    # 1.5 m dry, 4.2 m with a plug, string to 7.2 m, twisted 4.2 m, twister 1, seal test 1, 17.8 m dry
    near(shaft.relative_cost, 1.5 * 0.9 + 4.2 * 1.4 + 2 + 0.3 * 8.27 + 0.6 * 4.2 + 1 + 1 + 17.8 * 0.9)


def check_fluid_goes_in_a_metre_before_the_lens(book):
    # the clay over the lens is dry; casing ahead starts 1 m above the sand at 4 m
    shaft = shaft_of(book, LENS, water=3.5, shaft="diameter: 1000 mm, tip: 25")
    assert abs(stage(shaft, "drill").base_m - 3.0) < 0.02


def check_hours(book):
    shaft = shaft_of(book, CLAY)
    assert stage(shaft, "clean").hours == stage(shaft, "cage").hours == 1.5
    near(stage(shaft, "set_starter").hours, 0.75)  # half of the 1.5 h of a string
    lens = shaft_of(book, LENS, water=3.5, shaft="diameter: 1000 mm, tip: 25")
    near(stage(lens, "seal_test").hours + stage(lens, "bail").hours, 1.0, 0.02)
    drilling = sum((min(7.2, cut.base_m) - max(3.0, cut.top_m)) / cut.rate_m_h
                   for cut in shop_of(book, LENS, water=3.5, shaft="diameter: 1000 mm, tip: 25").cuts
                   if cut.base_m > 3.0 and cut.top_m < 7.2)
    near(stage(lens, "advance_casing").hours, drilling + 4.2 * 0.15, 0.01)
    wet = shaft_of(book, SAND, water=3)
    near(stage(wet, "introduce_fluid").hours, 1.0)
    belled = shaft_of(book, CLAY, shaft="diameter: 1000 mm, tip: 12, bell: {diameter: 2000 mm, height: 1 m}")
    bell = next(one for one in belled.stages if "bell" in one.text.lower() and one.hours)
    near(bell.hours, 2.0)


def check_pour_rate(book):
    shaft = shaft_of(book, CLAY)
    near(shaft.concrete.pour_hours, shaft.concrete.expected_m3 / 30.0)


def check_starter_stick_up_and_sizes(book):
    starter = shaft_of(book, CLAY).casings[0]
    assert (starter.top_m, starter.base_m) == (-1.07, 1.5)  # 42 in of edge protection; at least 5 ft
    # wide enough for 1.0 m: the next step of 6 in, 42 in; a wall of at least 3/8 in as trade size
    assert abs(starter.outside_diameter_m - 7 * 0.1524) < 1e-6
    near(starter.wall_m, 0.009525)  # 8.26 mm at least, in plate steps of 1/16 in
    assert shaft_of(book, SAND, water=3).casings[0].base_m == 3.0  # loose top: at most 10 ft
    lens = shaft_of(book, LENS, water=3.5, shaft="diameter: 1000 mm, tip: 25")
    near(lens.casings[1].predrill_diameter_m, lens.casings[1].outside_diameter_m + 0.1)


def check_own_casing_is_taken_where_it_is_not_much_wider(book):
    # inside 1.0 m: at most 1.0 + 2 x 0.1524 + 0.1 = 1.405 m outside
    for outside, taken in ((1.38, True), (1.43, False)):
        made = site(LENS, water=3.5, shaft="diameter: 1000 mm, tip: 25")
        own = made.model_copy(update={"stock": (StockCasing(outside_diameter_m=outside, wall_m=0.0127, length_m=12.0),)})
        string = next(one for one in plan(own, book).shafts[0].casings if one.kind == "temporary")
        assert (string.outside_diameter_m == outside) is taken, outside


def check_stick_up_reaches_no_higher_than_three_metres(book):
    # confined water 8 m above the ground asks for more than any stick-up gives: the level stays 3.0 - 0.3 m above the grade
    made = site(CLAY.replace("base: 40", "base: 8") + ", " + SAND.replace("top: 0", "top: 8"), water=2,
                boring="\n    cave_in_depth: 30")
    reading = made.borings[0].water[0].model_copy(update={"reading": "confined", "depth_m": None, "struck_m": 8.0, "rises_to_m": -8.0})
    boring = made.borings[0].model_copy(update={"water": (reading,)})
    changed = made.model_copy(update={"borings": (boring,)})
    levels = Workshop(changed, boring, made.shafts[0], book, book.assumptions).levels
    assert levels.fluid_m["polymer"] == -2.7


def check_freeboard(book):
    assert shop_of(book, CLAY).levels.fluid_m["polymer"] == 0.3


def check_platform_over_water(book):
    made = site(CLAY, more=", setting: water, water_depth: 6 m")
    levels = Workshop(made, made.borings[0], made.shafts[0], book, book.assumptions).levels
    assert levels.grade_m == -8.0  # 6 m of water and 2 m over it


def check_stand_up_times(book):
    assert shop_of(book, CLAY).cuts[-1].stand_h == 72.0
    places = ((CLAY, 25), (SAND, 25), (ROCK, 25), (SAND, 3), (LOESS, 25), (FISSURED, 25), (SILTY, 25))
    seen = {round(cut.stand_h, 3) for layers, water in places
            for cut in shop_of(book, layers, water=water).cuts}
    assert seen <= {0.0, 0.3, 1.5, 12.0, 72.0}, seen
    assert {0.3, 1.5, 12.0} <= seen, seen


LOESS = '{top: 0, base: 40, description: "stiff brown sandy silt, moist", symbol: ML, n: [12, 14]}'
FISSURED = '{top: 0, base: 40, description: "stiff fissured clay", symbol: CH, n: [14, 15]}'
SILTY = '{top: 0, base: 40, description: "medium dense silty sand, moist", symbol: SM, n: [18, 20]}'


def check_unknown_ground_is_drilled_at_three_metres_an_hour(book):
    gap = shop_of(book, CLAY.replace("base: 40", "base: 8")).cuts[-1]
    assert not gap.decided
    assert gap.rate_m_h == 3.0


def check_spread_of_one_blow_count(book):
    made = site(CLAY.replace("su: 100 kPa", "n: [10]"))
    span = Workshop(made, made.borings[0], made.shafts[0], book, book.assumptions).gatherer.sheets[0].span("n60")
    assert (round(span.low, 6), round(span.high, 6)) == (7.0, 13.0)  # 30 % either way of one count


def check_what_stands_in_the_hole(book):
    inside = shop_of(book, SAND, water=3).inside
    assert {state: round(inside[state].density_kg_m3, 6) for state in ("water", "polymer", "mineral", "cased_plug")} == {
        "water": 1000.0, "polymer": 1010.0, "mineral": 1080.0, "cased_plug": 1000.0}


def check_density_windows(book):
    deep = {"water": 3, "shaft": "diameter: 1000 mm, tip: 30"}
    polymer = shaft_of(book, SAND, **deep).slurry
    assert polymer.density_max_kg_m3 == 1025.0
    assert polymer.density_min_kg_m3 == 1000.0  # no lighter than water
    mineral = shaft_of(book, SAND, **deep, more=", fluids_allowed: [mineral]").slurry
    assert mineral.density_min_kg_m3 == 1030.0
    assert mineral.density_target_kg_m3 == 1080.0
    assert mineral.density_max_kg_m3 == 1153.0  # 72 pcf before concrete, lighter than what the ground takes
    water = shaft_of(book, CEMENTED, **deep, more=", allowed: [slurry], fluids_allowed: [water]").slurry
    assert water.density_max_kg_m3 == 1025.0


CEMENTED = '{top: 0, base: 40, description: "strong massive sandstone", symbol: rock, rqd: 95 %, ucs: 60 MPa}'


def check_stock_of_fluid(book):
    shaft = shaft_of(book, SAND, water=3)
    lines = {line.item: line.value for line in shaft.quantities}
    hole = next(value for item, value in lines.items() if "hole" in item and "fluid" in item)
    stock = next(value for item, value in lines.items() if "stock" in item)
    near(stock, 1.5 * hole)


def check_tremie_and_shoe(book):
    assert shaft_of(book, SAND, water=3).concrete.tremie_embedment_m == 3.05  # 10 ft
    lens = shaft_of(book, LENS, water=3.5, shaft="diameter: 1000 mm, tip: 25")
    pull = lens.concrete.pulls[0]
    # nobody read the water of the covered sand, so at worst it stands at the ground: 7.2 m of it, 15 kPa to spare, over 23.5 kN/m3
    near(7.2 - pull.concrete_level_needed_m, (9.81 * 7.2 + 15) / 23.5)
    # no water outside a starter of one diameter: at least 5 ft of concrete over its shoe
    wide = shaft_of(book, CLAY, shaft="diameter: 2500 mm, tip: 12").concrete.pulls[0]
    assert wide.shoe_m == 2.5
    near(2.5 - wide.concrete_level_needed_m, 1.524)


def check_bulging_by_the_weight_of_concrete(book):
    # 23.5 x 12 = 282 kPa of fresh concrete at the tip; 240 kPa of ground, no water: horizontal 0.7 x 240 = 168 kPa likely
    span = shop_of(book, CLAY).judged[-1].slice.sheet.span("bulging_ratio")
    assert isinstance(span, Span)
    near(span.likely, (282 - 168) / 100, 0.01)


def check_casing_wall_holds_twice_the_pressure(book):
    # Timoshenko & Gere, an initially oval tube: D 1.0 m, t 10 mm, m = D/2t = 50, 1 % oval, yield 250 MPa, E 200 GPa: elastic
    # 2 E (t/D)^3 / 0.91 = 439.6 kPa, yield 250000/50 = 5000; p^2 - (5000 + (1 + 6 x 50 x 0.01) 439.6) p + 5000 x 439.6 = 0: p = 342.6
    capacity = 342.6
    assert holds(1.0, 0.010, capacity / 2 * 0.98, book.values)
    assert not holds(1.0, 0.010, capacity / 2 * 1.02, book.values)


def check_splices(book):
    assert [splices(length, book.values) for length in (11.0, 13.0, 25.0)] == [0, 1, 2]


def check_numbers_in_the_sentences(book):
    for rule, words in {
            "placement-dry-check": ("0.0762 m",), "mineral-limits-before-concrete": ("1153 kg/m3", "4 %", "40 s", "11"),
            "polymer-limits-before-concrete": ("1025 kg/m3", "1 %"), "mineral-not-left-still": ("4 h",),
            "slaking-rock-same-day": ("12 h",), "neighbour-shaft-age": ("5 diameters",), "open-hole-edge": ("1.83 m",),
            "concrete-above-shoe-at-every-pull": ("1.52 m",), "tremie-always-embedded": ("3.05 m",)}.items():
        text = put_in(book.by_id[rule], {}, book)
        for word in words:
            assert re.search(rf"(?<![\d.]){re.escape(word)}(?![\d.]*\d)", text), (rule, word, text)
