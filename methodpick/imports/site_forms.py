"""What ``methodpick new`` writes to be filled in: a small site file with every key explained, or tables with units and an example."""

from __future__ import annotations

from typing import Literal

from methodpick.blank_form import FormCell, FormColumn, FormSheet
from methodpick.imports.table_columns import TableColumn, TableSheet, sheets
from methodpick.imports.tables import EXPLANATIONS
from methodpick.terms import UnitSystem

# ---- site file


_VALUES: dict[str, dict[str, str]] = {
    "us": {
        "lengths": "feet",
        "sizes": "inches",
        "stresses": "psf",
        "weights": "pcf",
        "masses": "lb",
        "volumes": "yd3",
        "grade": "0",
        "elevation": "412.5",
        "depth": "70",
        "fill": "6",
        "clay": "31",
        "sand": "44",
        "first": "20",
        "settled": "11.5",
        "struck": "31",
        "rises": "14",
        "su": "1800",
        "su_low": "1500",
        "su_high": "2200",
        "diameter": "48",
        "tip": "58",
        "cutoff": "2",
        "cage": "36",
        "cover": "6",
        "n1": "2.5",
        "n2": "12.5",
        "n3": "22.5",
        "n4": "36",
        "n5": "50",
        "n6": "60",
        "n7": "69",
        "refusal": "50/5in",
        "thick": "2 in",
        "apart": "3 ft",
        "bell_wide": "96",
        "bell_high": "4",
        "radius": "100",
        "pick_radius": "20 ft",
    },
    "si": {
        "lengths": "metres",
        "sizes": "millimetres",
        "stresses": "kPa",
        "weights": "kN/m3",
        "masses": "kg",
        "volumes": "m3",
        "grade": "0",
        "elevation": "125.7",
        "depth": "21.5",
        "fill": "1.8",
        "clay": "9.5",
        "sand": "13.5",
        "first": "6.1",
        "settled": "3.5",
        "struck": "9.5",
        "rises": "4.3",
        "su": "86",
        "su_low": "72",
        "su_high": "105",
        "diameter": "1200",
        "tip": "17.5",
        "cutoff": "0.6",
        "cage": "900",
        "cover": "150",
        "n1": "0.8",
        "n2": "3.8",
        "n3": "6.9",
        "n4": "11",
        "n5": "15.2",
        "n6": "18.3",
        "n7": "21",
        "refusal": "50/125mm",
        "thick": "50 mm",
        "apart": "1 m",
        "bell_wide": "2400",
        "bell_high": "1.2",
        "radius": "30",
        "pick_radius": "6 m",
    },
}

_TEXT = """\
methodpick: 1                      # the format; must stay the first line that is no comment
# A site for methodpick. Change what is here to your log; leave out what the log does not say - nothing is filled in
# silently, and every gap becomes a stated assumption or a question. Bare lengths are in {lengths}, sizes in {sizes},
# stresses in {stresses}, unit weights in {weights}; what runs along a shaft is a length, what runs across it a size.
# Any value may carry its own unit ("48 in", "11.5 kN/m3"), be a range [low, high], or {{low: .., likely: .., high: ..}}
# where a spread makes sense.

site:
  name: My site
  units: {units}                        # us: ft, in, psf, pcf; si: m, mm, kPa, kN/m3
  setting: land                    # water: then water_depth, and depth 0 is the mudline
  drilling_grade: {{above_ground: {grade}}}  # the surface that the rig stands on; or {{elevation: ..}}
  allowed: [dry, slurry, temporary_casing, permanent_casing]   # what the specification leaves open
  fluids_allowed: [water, polymer, mineral]
  agency: fhwa                     # whose limits apply
  contamination: unknown           # unknown, none, or what it is
  # surcharge: 250 psf             # rig or crane at the edge of the hole
  # neighbours: [{{what: brick house on footings, distance: 40 ft}}]
  # equipment: {{vibratory: true, oscillator: false, rotator: false, kelly_twist: true, max_casing: 60 in,
  #             pick_radius: {pick_radius}, pick_capacity_t: 12}}   # of the crane, metric tonnes by its chart at that radius
  # schedule: {{shift_hours: 10, overnight_allowed: false, concrete_wait_h: 1.5, rigs: 1, crews: 1, days_a_week: 5,
  #            start: 2026-04-13, shafts_a_day: 1}}   # crews set cages, pour and pull; shafts_a_day: no more than these
  # borings_by: nearest            # for shafts that name no boring: explicit, nearest, substructure (nearest of the
  #                                # same), envelope (worst within 'radius'); needs position: {{east: .., north: ..}},
  #                                # or {{latitude: .., longitude: ..}} in degrees
  # radius: {radius}                   # how far around a shaft the borings of an envelope count

borings:
  - id: B-1
    ground_elevation: {elevation}
    # substructure: pier 1         # what it was drilled for
    # date: 2026-03-16             # when it was drilled: a day, or '2026-03-16 to 2026-03-18'
    technique: hollow_stem_auger   # decides how far a water reading is believed
    hammer_efficiency: 80 %        # of the penetration test; 60 % is the reference
    depth: {depth}                      # where the boring ended
    water:                         # every reading on its own; no list means unknown, never dry
      - {{reading: while_drilling, depth: {first}, hole_depth: {first}}}
      - {{reading: settled, depth: {settled}, after: 24 h}}
      - {{reading: confined, struck: {struck}, rises_to: {rises}, zone: lower sand}}
      # - {{reading: none_met, hole_depth: {first}}}   # only when the log says so
    layers:                        # from the ground down, depths below the ground at the boring
      - {{top: 0, base: {fill}, description: "brown silty sand, brick fragments", symbol: SM, origin: fill}}
      - top: {fill}
        base: {clay}
        description: "stiff grey fat clay"
        symbol: CH                 # unified classification, a pair (SP-SM), or rock, weathered_rock, peat, void ...
        su: {{low: {su_low}, likely: {su}, high: {su_high}}}   # undrained strength
        pi: 45                     # plasticity index
        features: []               # fissured, slickensided, cobbles, boulders, vuggy ...
        absent: [fissured]         # what the log says is not there
        seams: [{{material: sand, thickness: {thick}, spacing: {apart}, wet: true}}]
      - {{top: {clay}, base: {sand}, description: "medium dense fine to medium sand", symbol: SP, fines: 4 %}}
      - {{top: {sand}, base: {depth}, description: "hard grey clay", symbol: CL}}
    spt:                           # blow counts; 50/3in at refusal, WOH where the rods sank
      - {{depth: {n1}, n: 6}}
      - {{depth: {n2}, n: 11, blows: [3, 5, 6]}}
      - {{depth: {n3}, n: 13}}
      - {{depth: {n4}, n: 22}}
      - {{depth: {n5}, n: 38}}
      - {{depth: {n6}, n: 44}}
      - {{depth: {n7}, n: {refusal}}}
                                   # of rock also: weathering: highly   (or IV, W4, "moderately to highly"; of chalk B3)
    # cave_in_depth: ..            # where the hole fell in
    # remarks: [{{depth: 22, text: "hole collapsing, water added"}}]
    # cores: [{{top: 44, base: 49, recovery: 90 %, rqd: 55 %}}]
    # cone: [{{depth: 20, resistance: 1.2 MPa, friction: 40 kPa, pore_pressure: 150 kPa}}]   # a cone test at the boring
    # cone_area_ratio: 0.8         # net area of its tip, for the pore pressure behind it

shafts:
  - id: P1
    boring: B-1
    diameter: {diameter}
    diameter_is: nominal           # nominal, minimum, casing_inside, casing_outside
    cutoff: {cutoff}                      # top of concrete, below the ground
    tip: {tip}
    cage_diameter: {cage}
    cover: {cover}
    count: 4                       # alike shafts
    bearing: both                  # side, base, both
    # socket_top: ..               # where a rock socket starts
    # socket_diameter: ..
    # bell: {{diameter: {bell_wide}, height: {bell_high}}}   # an enlarged base: diameter in {sizes}, height in {lengths}
    # substructure: pier 1         # what it carries
    # ground_elevation: ..         # known here and at the boring, the layers are set over by elevation

# assume: [{{fact: recharge, set: no, where: site, why: dry season}}]   # what you know and the log does not say
# stock: [{{outside_diameter: 54, wall: 0.5, length: 40, count: 2}}]      # casing in the yard
# pay: {{measured_from: cutoff, drilling: paid, temporary_casing: incidental}}   # paid, incidental or unknown
#                                  # obstruction_hours: 40, trial_shafts: 1: quantities that the bid schedule says
# rates:                           # your own hours and prices: low, likely and high; a total says what has no price
#   currency: crowns
#   rig: [300, 400]                # rig and crew, an hour
#   rig_standing: 250              # rig and crew that stand on site, an hour; not given: as one that works
#   drilling: [{{material: clay, tool: auger, hole: dry, speed: [15, 30]}}]       # {lengths} an hour
#   casing:                      # prices: buy of 1 {masses}; rent_a_day, own_a_day of a length in {lengths} and a working day
#     {{set_hours: [1, 2], pull_hours: [0.5, 1], splice_hours: 2, buy: 1.2, rent_a_day: 0.9, own_a_day: 0.3}}
#   fluid:                       # prices: plant once; bentonite, polymer, soda_ash of 1 {masses}; water, disposal of 1 {volumes}
#     {{fill_hours: 1, plant: 9000, bentonite: 0.4, polymer: 5, soda_ash: 0.5, water: 3, disposal: 40}}
#   pour: {{concrete: 180, speed: [30, 50], truck: 9}}   # a price of 1 {volumes}, {volumes} an hour, {volumes} a truck
#   clean_hours: 1
#   cage_hours: [1, 2]
#   move_hours: [1, 3]
#   spoil: 20                    # a price of 1 {volumes}, loose
#   mobilisation: 15000          # once, of all rigs
#   cage: 900                    # a reinforcement cage, delivered
#   tubes: 6                     # integrity tubes, by length in {lengths}
#   trial_shaft: 30000           # a trial shaft, where the bid has one
#   overhead: 12 %               # on the cost, for the prices of the bid
#   margin: 8 %                  # on cost and overhead
"""


def site_template(system: Literal["us", "si"] = "us") -> str:
    """Return the text of a commented starter site in US or SI units.

    >>> site_template("si").splitlines()[0].split("#")[0].strip()
    'methodpick: 1'
    """
    return _TEXT.format(units=system, **_VALUES[system])


# ---- tables


_Row = dict[str, str | float]
_EXAMPLES: dict[str, dict[UnitSystem, tuple[_Row, ...]]] = {
    "borings": {
        "us": ({"id": "B-1", "ground_elevation": 412.5, "depth": 80, "technique": "hollow_stem_auger", "hammer_efficiency": 80},),
        "si": ({"id": "B-1", "ground_elevation": 125.7, "depth": 24.5, "technique": "hollow_stem_auger", "hammer_efficiency": 80},),
    },
    "layers": {
        "us": (
            {"boring": "B-1", "top": 0, "base": 6, "description": "brown silty sand, brick fragments", "symbol": "SM", "origin": "fill"},
            {"boring": "B-1", "top": 6, "base": 80, "description": "stiff grey fat clay", "symbol": "CH", "su": "1500-2200", "pi": 45},
        ),
        "si": (
            {"boring": "B-1", "top": 0, "base": 1.8, "description": "brown silty sand, brick fragments", "symbol": "SM", "origin": "fill"},
            {"boring": "B-1", "top": 1.8, "base": 24.5, "description": "stiff grey fat clay", "symbol": "CH", "su": "75-105", "pi": 45},
        ),
    },
    "spt": {
        "us": ({"boring": "B-1", "depth": 12.5, "blows": "3-5-6"}, {"boring": "B-1", "depth": 45, "blows": "4-6-7"}),
        "si": ({"boring": "B-1", "depth": 3.8, "blows": "3-5-6"}, {"boring": "B-1", "depth": 13.7, "blows": "4-6-7"}),
    },
    "water": {
        "us": ({"boring": "B-1", "depth": 11.5, "reading": "settled", "after": 24, "hole_depth": 80},),
        "si": ({"boring": "B-1", "depth": 3.5, "reading": "settled", "after": 24, "hole_depth": 24.5},),
    },
    "cores": {"us": (), "si": ()},
    "cone": {"us": (), "si": ()},
    "remarks": {
        "us": ({"boring": "B-1", "depth": 5, "text": "hole collapsing, water added"},),
        "si": ({"boring": "B-1", "depth": 1.5, "text": "hole collapsing, water added"},),
    },
    "shafts": {
        "us": ({"id": "P1", "boring": "B-1", "diameter": 48, "cutoff": 2, "tip": 58, "count": 1},),
        "si": ({"id": "P1", "boring": "B-1", "diameter": 1200, "cutoff": 0.6, "tip": 17.7, "count": 1},),
    },
    "stock": {
        "us": ({"outside_diameter": 54, "wall": 0.5, "length": 40, "count": 2},),
        "si": ({"outside_diameter": 1370, "wall": 12, "length": 12, "count": 2},),
    },
}
_PAIRS: dict[str, tuple[tuple[str, str, str], ...]] = {
    "site": (
        ("name", "Invented example", "what reports call the site"),
        ("setting", "land", "land or water; over water also water_depth"),
        ("drilling_grade.above_ground", "0", "height of the working platform above the ground"),
        ("allowed", "", "methods left open, with semicolons between them; blank: all"),
        ("contamination", "unknown", "unknown, none, or what is known"),
        ("equipment.oscillator", "", "yes or no; blank: asked for in the plan"),
    ),
    "rates": (
        ("currency", "", "the currency of all rates; what stays blank is not priced, and every total says so"),
        ("rig", "", "rig and crew, an hour"),
        ("rig_standing", "", "rig and crew that stand on site, an hour; blank: as one that works"),
        ("mobilisation", "", "once"),
        ("pour.concrete", "", "a volume, delivered"),
        ("casing.buy", "", "a mass"),
        ("casing.rent_a_day", "", "a length, a working day"),
        ("casing.own_a_day", "", "a length of the yard, a working day"),
        ("fluid.plant", "", "once"),
        ("fluid.bentonite", "", "a mass"),
        ("fluid.polymer", "", "a mass"),
        ("fluid.soda_ash", "", "a mass"),
        ("fluid.water", "", "a volume"),
        ("fluid.disposal", "", "a volume"),
        ("spoil", "", "a volume, loose"),
        ("cage", "", "a reinforcement cage"),
        ("tubes", "", "integrity tubes, a length"),
        ("trial_shaft", "", "each"),
        ("overhead", "", "percent of the cost"),
        ("margin", "", "percent of cost and overhead; further keys as under 'rates' of the site file"),
    ),
    "pay": (
        ("measured_from", "", "cutoff, ground or drilling_grade; blank: as is usual, or as the agency has it"),
        ("temporary_casing", "", "paid, incidental or unknown; so for every key under 'pay' of the site file"),
        ("obstruction_hours", "", "hours in the bid schedule"),
        ("trial_shafts", "", "their number in the bid schedule"),
    ),
}


def table_form(units: UnitSystem) -> tuple[FormSheet, ...]:
    """Return the sheets to fill in, with their headings in a unit system."""
    pairs = [_pairs(name, units) for name in _PAIRS]
    rows = [_sheet(sheet, units) for sheet in sheets().values()]
    return (_explanations([*pairs, *rows]), *pairs, *rows)


def _pairs(name: str, units: UnitSystem) -> FormSheet:
    columns = (FormColumn("key", "a key of the site file; inside a map with a point"), FormColumn("value", ""), FormColumn("meaning", ""))
    declared = [("units", units, "us or si; what a number without a unit means")] if name == "site" else []
    return FormSheet(name, f"key and value, as under '{name}' of the site file", columns, (*declared, *_PAIRS[name]))


def _sheet(sheet: TableSheet, units: UnitSystem) -> FormSheet:
    columns = tuple(FormColumn(heading(column, units), _meaning(column), column.shape.choices) for column in sheet.columns)
    examples = tuple(tuple(row.get(column.name) for column in sheet.columns) for row in _EXAMPLES[sheet.name][units])
    return FormSheet(sheet.name, sheet.explanation, columns, examples)


def heading(column: TableColumn, units: UnitSystem) -> str:
    """Return the heading of a column with its unit.

    >>> heading(sheets()["shafts"].columns[2], "us")
    'diameter (in)'
    """
    unit = unit_in(column, units)
    return f"{column.name} ({unit})" if unit else column.name


def unit_in(column: TableColumn, units: UnitSystem) -> str:
    """Return the unit that bare numbers of a column have in a unit system, "" where they have none."""
    quantity = column.shape.quantity
    found = "" if quantity is None else quantity.us if units == "us" else quantity.si
    return "" if found == "1" else found


def _meaning(column: TableColumn) -> str:
    also = f"; also called {', '.join(column.synonyms[:4])}" if column.synonyms else ""
    return f"{'needed' if column.required else 'may be blank'}{also}"


def _explanations(filled: list[FormSheet]) -> FormSheet:
    columns = (FormColumn("sheet", ""), FormColumn("column", ""), FormColumn("meaning", ""), FormColumn("one of", ""))
    rows: list[tuple[FormCell, ...]] = [
        ("all", "", "write over the example rows; blank cells are not known, which is never the same as none", ""),
        ("all", "", "a unit in a cell (48 in) goes before that of the heading, the heading before 'units' of the sheet site", ""),
        ("all", "", "a strength or weight may be a range, 500-800, or low/likely/high, 500/600/800", ""),
        ("all", "", "format columns of blows and ids as text, so that 3-5-6 does not become a date", ""),
        ("spt", "n", "a refusal is written as blows over penetration, 50/3in or 50/75mm", ""),
    ]
    for sheet in filled:
        rows.append((sheet.name, "", sheet.explanation, ""))
        rows += [(sheet.name, column.heading, column.meaning, ", ".join(column.choices)) for column in sheet.columns if column.meaning]
    return FormSheet(EXPLANATIONS, "what the sheets and columns mean", columns, tuple(rows))
