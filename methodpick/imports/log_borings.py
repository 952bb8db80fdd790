"""The borings of a log, made of its tables: header, drilling, layers, tests, water, cores, and what else says how the ground behaved.

Law: every row of the groups that are read ends up in a boring or in a doubt, and the order of rows does not matter.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import TypeVar

from methodpick.errors import InputError, Place, Problem
from methodpick.ground.doubt import Doubt, subject_in
from methodpick.ground.profile import CasingLength, CoreRun, DrilledLength, Position, Profile, Remark, Spt, Technique, WaterReading
from methodpick.ground.site import Site, SiteConditions
from methodpick.imports.input_formats import Imported
from methodpick.imports.log_layers import read_details, read_layers
from methodpick.imports.log_remarks import remarks_of
from methodpick.imports.log_spt import read_spt
from methodpick.imports.log_tables import LEFT_OUT, VALUE_LEFT_OUT, DataRow, Tables, in_order, natural_order
from methodpick.imports.log_water import read_water, remarks_on_hole
from methodpick.terms import UnitSystem

# ---- how a boring was drilled: technique as a whole and by depth (LOCA_TYPE, HDPH, CORE), diameters (HDIA), casings (CDIA)


TECHNIQUES: dict[str, Technique] = {
    "CP": "cable_percussion",
    "RC": "core",
    "DC": "core",
    "RO": "rotary",
    "RP": "rotary",
    "W": "wash",
    "WASH": "wash",
    "WS": "window_sampler",
    "WLS": "window_sampler",
    "DS": "window_sampler",
    "SNC": "sonic",
    "SON": "sonic",
    "HA": "auger",
    "AUGH": "auger",
    "AUGS": "solid_auger",
    "SA": "solid_auger",
    "CFA": "solid_auger",
    "HSA": "hollow_stem_auger",
    "AUGM": "auger",
    "FA": "solid_auger",
}
"""Ways of drilling by the codes of HDPH_TYPE and LOCA_TYPE (from memory); a reader of another format uses the words themselves."""
NOT_DRILLED = frozenset({"TP", "TT", "IP", "OP", "HP", "TPS", "DP", "DPL", "DPH", "DCP", "PP", "SCP", "CPT"})
"""Codes of pits, trenches and probes, which are known and are not drilled."""
_WORDS = frozenset(TECHNIQUES.values()) | {"mud_rotary"}


def technique_of(tables: Tables, boring: str, header: DataRow | None) -> Technique:
    """Return how the upper part was drilled, which decides how far a water reading is believed."""
    stated = header.text("LOCA_TYPE") if header else ""
    rows = sorted(tables.of("HDPH", boring), key=lambda row: row.number("HDPH_TOP") or 0.0)
    for kind in [*stated.split("+"), *(row.text("HDPH_TYPE") for row in rows)]:
        if found := _technique(kind):
            return found
    if header is not None and stated and not set(stated.upper().split("+")) <= NOT_DRILLED:
        header.doubt("the kind of boring is not known here", "its technique stays unknown", quoted=stated, severity="note")
    return "unknown"


def _technique(code: str) -> Technique | None:
    """Read a code such as CP, or one of the words of a site file; of several with + between them the first that is known."""
    for part in code.split("+"):
        plain = part.strip()
        if plain.upper() in TECHNIQUES:
            return TECHNIQUES[plain.upper()]
        if plain in _WORDS:
            return next(word for word in (*TECHNIQUES.values(), "mud_rotary") if word == plain)
    return None


def drilling_of(tables: Tables, boring: str, cores: Sequence[CoreRun], end_m: float | None) -> tuple[DrilledLength, ...]:
    """Return the lengths of a boring by way of drilling and by diameter, from the top down."""
    return _kept(tables, boring, "HDIA", (*_ways(tables, boring, cores, end_m), *_diameters(tables, boring)))


def _ways(tables: Tables, boring: str, cores: Sequence[CoreRun], end_m: float | None) -> list[DrilledLength]:
    """Return the lengths by way of drilling: as HDPH says, else cored from the first core run on where the kind says so."""
    found = []
    for row in tables.of("HDPH", boring):
        top, base, way = row.number("HDPH_TOP"), row.number("HDPH_BASE"), _technique(row.text("HDPH_TYPE"))
        if way is not None and top is not None and base is not None and 0 <= top < base:
            found.append(DrilledLength(top_m=top, base_m=base, technique=way))
    found = sorted(set(found), key=lambda length: (length.top_m, length.base_m, str(length.technique)))
    kinds = [
        way for part in (row.text("LOCA_TYPE") for row in tables.of("LOCA", boring)) for way in map(_technique, part.split("+")) if way
    ]
    if found or not cores or len(kinds) < 2 or kinds[-1] != "core" or end_m is None:
        return found
    start = min(run.top_m for run in cores)
    if not 0 < start < end_m:
        return []
    return [DrilledLength(top_m=0.0, base_m=start, technique=kinds[0]), DrilledLength(top_m=start, base_m=end_m, technique="core")]


def _diameters(tables: Tables, boring: str) -> list[DrilledLength]:
    """Return the lengths by diameter; HDIA gives the depth to which each diameter reached."""
    reached = []
    for row in tables.of("HDIA", boring):
        base, diameter = row.number("HDIA_DPTH"), row.number("HDIA_DIAM", "m", "mm")
        if base is None or base <= 0 or diameter is None or not 0 < diameter < MOST_DIAMETER_M:
            row.set_aside("the diameter of the hole has no depth or no size", severity="note")
        else:
            reached.append((base, diameter))
    found, top = [], 0.0
    for base, diameter in sorted(set(reached), key=lambda pair: (pair[0], -pair[1])):
        if base > top:
            found.append(DrilledLength(top_m=top, base_m=base, diameter_m=diameter))
            top = base
    return found


MOST_DIAMETER_M = 5.0
"""A bored hole wider than this is a slip of units (own value)."""


def casings_of(tables: Tables, boring: str) -> tuple[CasingLength, ...]:
    """Return the casings of a boring with their depths, the shallowest first."""
    found = set()
    for row in tables.of("CDIA", boring):
        depth, diameter = row.number("CDIA_DPTH"), row.number("CDIA_DIAM", "m", "mm")
        if depth is None or depth <= 0:
            row.set_aside("the casing has no depth", severity="note")
            continue
        if diameter is not None and not 0 < diameter < MOST_DIAMETER_M:
            row.doubt(f"a casing of {diameter:g} m diameter cannot be", "the diameter is left out", depth_m=depth)
            diameter = None
        found.add(CasingLength(depth_m=depth, diameter_m=diameter))
    return _kept(tables, boring, "CDIA", tuple(sorted(found, key=lambda casing: (casing.depth_m, casing.diameter_m or 0.0))))


MOST_LENGTHS = 200
_Length = TypeVar("_Length")


def _kept(tables: Tables, boring: str, group: str, lengths: tuple[_Length, ...]) -> tuple[_Length, ...]:
    """Return the first lengths, as many as a boring may have, with a doubt where there are more."""
    rows = tables.of(group, boring)
    if len(lengths) > MOST_LENGTHS and rows:
        rows[0].doubt(f"the boring has {len(lengths)} diameters or casings", f"the first {MOST_LENGTHS} are kept", severity="serious")
    return lengths[:MOST_LENGTHS]


# ---- the borings


GROUPS = frozenset(
    {
        "LOCA",
        "GEOL",
        "ISPT",
        "WSTG",
        "WSTD",
        "WADD",
        "WLEV",
        "CORE",
        "PTIM",
        "HDPH",
        "DREM",
        "DETL",
        "CDIA",
        "HDIA",
        "CHIS",
        "FLSH",
        "IVAN",
        "LLPL",
        "GRAG",
        "RUCS",
        "TRIT",
        "MONG",
        "MOND",
        "HORN",
    }
)
"""Groups that are read; all others are left alone. WLEV, a level with a time, is no group of AGS: readers of other formats fill it."""
_GROUND = ("GEOL", "ISPT", "CORE", "WSTG")
"""Groups whose rows show that a boring was made."""
MOST_TESTS = 2000


def borings_of(tables: Tables, what: str, expected: str, units: UnitSystem = "si", read: frozenset[str] = frozenset()) -> Imported:
    """Return the borings of a log as a site without shafts; ``what`` and ``expected`` name the file where it holds none.

    ``read`` names the groups of the file beside those of AGS4 that a reader fills the tables from. Raises InputError where
    no boring is in the file.
    """
    used = sorted(GROUPS & set(tables.rows))
    for group in used:
        for row in tables.of(group, ""):
            row.set_aside(f"a row of {row.group} names no boring", severity="serious")
    ids = {name for group in used for name in tables.by_boring(group)} - {""}
    profiles = [made for boring in sorted(ids, key=natural_order) if (made := _boring(tables, boring)) is not None]
    file = tables.book.file
    if not profiles:
        raise InputError(Problem(f"{file}: no boring with ground is in this {what}", expected=expected))
    site = Site(site=SiteConditions(name=Path(file).stem if file != "-" else "site", units=units), borings=tuple(profiles))
    places = {f"boring {row.boring}": Place(file, row.line, 1) for row in tables.of("LOCA")}

    def place_of(doubt: Doubt) -> Place | None:
        subject = subject_in(doubt.where, places)
        return None if subject is None else places[subject]

    return Imported(site, tables.book.in_order(), tables.digest, tables.counts(GROUPS | {"ABBR"} | read), place_of)


def _boring(tables: Tables, boring: str) -> Profile | None:
    header = _header(tables, boring)
    if header is not None and header.text("LOCA_STAT").upper() == "PROPOSED":
        if not any(tables.of(group, boring) for group in _GROUND):
            header.set_aside("the boring is only proposed", severity="note")
            return None
        header.doubt("the boring is called proposed, yet it is logged", "what was logged is believed")
    depth = header.number("LOCA_FDEP") if header else None
    if depth is not None and depth <= 0:
        depth = None
    layers = read_layers(tables, boring, depth)
    end = depth if depth is not None else max((layer.base_m for layer in layers), default=None)
    layers, details = read_details(tables, boring, layers)
    tests, without_count = _tests(tables, boring)
    remarks = remarks_of(tables, boring) + remarks_on_hole(tables, boring) + details + without_count
    water = read_water(tables, boring, layers, end)
    _inclined(tables, boring)
    casings = casings_of(tables, boring)
    cores = _cores(tables, boring)
    drilling = drilling_of(tables, boring, cores, end)
    return Profile(
        id=boring,
        ground_elevation_m=header.number("LOCA_GL") if header else None,
        position=_position(header) if header else None,
        technique=technique_of(tables, boring, header),
        hammer_efficiency_percent=_efficiency(tables, boring),
        diameter_m=max((length.diameter_m for length in drilling if length.diameter_m), default=None),
        depth_m=depth,
        water=tuple(in_order(water, _water_place, repr)),
        remarks=tuple(sorted(set(remarks), key=_remark_order)),
        casing_depth_m=max((casing.depth_m for casing in casings), default=None),
        casings=casings if _tells_more(casings) else (),
        drilling=drilling if len(drilling) > 1 else (),
        layers=tuple(layers),
        spt=tuple(tests),
        cores=cores,
    )


def _tells_more(casings: tuple[CasingLength, ...]) -> bool:
    """Return whether the casings say more than how deep the deepest one went."""
    return len(casings) > 1 or any(casing.diameter_m is not None for casing in casings)


def _header(tables: Tables, boring: str) -> DataRow | None:
    rows = tables.of("LOCA", boring)
    if not rows:
        first = min((row for group in sorted(GROUPS) for row in tables.of(group, boring)), key=lambda row: row.line)
        first.doubt(f"boring {boring} has no header row", "its depth, level and technique are not known")
        return None
    rows = tuple(sorted(rows, key=lambda row: row.order))
    for row in rows[1:]:
        row.set_aside("a second header row of the boring", "the first in order is followed", severity="serious")
    return rows[0]


def _position(header: DataRow) -> Position | None:
    for east, north in (("LOCA_NATE", "LOCA_NATN"), ("LOCA_LOCX", "LOCA_LOCY")):
        if header.text(east) and header.text(north):
            x, y = header.number(east, largest=9e7), header.number(north, largest=9e7)
            if x is not None and y is not None and (x, y) != (0.0, 0.0):
                return Position(east_m=x, north_m=y)
    return None


def _efficiency(tables: Tables, boring: str) -> float | None:
    """Return the hammer energy ratio; where several hammers were used the commonest one, the lower at a tie."""
    counted: Counter[float] = Counter()
    for row in tables.holding("ISPT", boring, ("ISPT_ERAT",)):
        ratio = row.number("ISPT_ERAT", "%")
        if ratio is not None and 20 <= ratio <= 110:
            counted[ratio] += 1
        elif ratio:
            row.doubt(f"an energy ratio of {ratio:g} % cannot be", LEFT_OUT)
    if not counted:
        return None
    chosen = min(counted, key=lambda ratio: (-counted[ratio], ratio))
    if len(counted) > 1:
        row = min(tables.of("ISPT", boring), key=lambda row: row.line)
        row.doubt(
            "several hammer energy ratios: " + ", ".join(f"{ratio:g}" for ratio in sorted(counted)) + " %",
            f"{chosen:g} % is taken for the whole boring",
        )
    return chosen


def _tests(tables: Tables, boring: str) -> tuple[list[Spt], list[Remark]]:
    read = [(row, read_spt(row)) for row in tables.of("ISPT", boring)]
    tests = [(row, test) for row, test in read if isinstance(test, Spt)]
    tests.sort(key=lambda pair: (pair[1].depth_m, pair[1].n or 0, pair[1].text))
    for row, _ in tests[MOST_TESTS:]:
        row.set_aside(f"only the first {MOST_TESTS} penetration tests of a boring are read", severity="serious")
    return [test for _, test in tests[:MOST_TESTS]], [remark for _, remark in read if isinstance(remark, Remark)]


def _cores(tables: Tables, boring: str) -> tuple[CoreRun, ...]:
    runs = []
    for row in tables.of("CORE", boring):
        top, base = row.number("CORE_TOP"), row.number("CORE_BASE")
        if top is None or base is None or not 0 <= top < base:
            row.set_aside("the core run has no length", depth_m=top, severity="serious")
            continue
        shares = {}
        for field, heading in (("recovery_percent", "CORE_PREC"), ("solid_percent", "CORE_SREC"), ("rqd_percent", "CORE_RQD")):
            share = row.number(heading, "%")
            if share is not None and not 0 <= share <= 110:
                row.doubt(f"{row.heading(heading)} of {share:g} % cannot be", VALUE_LEFT_OUT, depth_m=top)
            elif share is not None:
                shares[field] = share
        runs.append((CoreRun(top_m=top, base_m=base, **shares), row))
    runs = in_order(runs, lambda pair: (pair[0].top_m, pair[0].base_m), lambda pair: repr(pair[0]))
    for _, row in runs[MOST_TESTS:]:
        row.set_aside(f"only the first {MOST_TESTS} core runs of a boring are read", severity="serious")
    return tuple(run for run, _ in runs[:MOST_TESTS])


def _inclined(tables: Tables, boring: str) -> None:
    for row in tables.of("HORN", boring):
        angle = row.number("HORN_INCL", "deg")
        if angle is not None and angle != 0 and abs(abs(angle) - 90) > 5:
            row.doubt(
                f"the boring is inclined at {angle:g} degrees",
                "its depths are along the hole and are not turned into vertical depths",
                severity="serious",
            )


def _water_place(reading: WaterReading) -> tuple[float, float]:
    met, level = reading.met_m, reading.level_m
    return (1e9 if met is None else met, 1e9 if level is None else level)


def _remark_order(remark: Remark) -> tuple[float, str]:
    return (-1.0 if remark.depth_m is None else remark.depth_m, remark.text)
