"""The borings of a log, made of its tables: drilling, layers, tests, water, cores, and what else says how the ground behaved.

Law: every row of the groups that are read ends up in a boring or in a doubt, and the order of rows does not matter.
"""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path

from methodpick.errors import InputError, Place, Problem
from methodpick.ground.doubt import Doubt, Subject
from methodpick.ground.profile import CasingLength, CoreRun, Layer, Profile, Remark, Spt, WaterReading
from methodpick.ground.site import Site, SiteConditions
from methodpick.imports.input_formats import Imported
from methodpick.imports.log_drilling import cased_to, casings_of, date_of, drilling_of, technique_of
from methodpick.imports.log_layers import read_details, read_layers
from methodpick.imports.log_places import position_of, set_beside_borings
from methodpick.imports.log_remarks import remarks_of
from methodpick.imports.log_spt import read_spt
from methodpick.imports.log_tables import LEFT_OUT, VALUE_LEFT_OUT, DataRow, Tables, in_order, natural_order
from methodpick.imports.log_tests import TEST_GROUPS, area_ratio, complete_tests, read_cone
from methodpick.imports.log_water import read_water
from methodpick.imports.log_water_levels import remarks_on_hole
from methodpick.patterns import pattern_of
from methodpick.terms import UnitSystem

GROUPS = TEST_GROUPS | {
    *("LOCA", "GEOL", "ISPT", "WSTG", "WSTD", "WADD", "WLEV", "CORE", "PTIM", "HDPH", "DREM", "DETL", "CDIA", "HDIA", "CHIS", "FLSH"),
    *("MONG", "MOND", "HORN", "WETH", "SCPG", "SCPT"),
}
"""Groups that are read; all others are left alone. WLEV, a level with a time, is no group of AGS: readers of other formats fill it."""
_GROUND = ("GEOL", "ISPT", "CORE", "WSTG")
"""Groups whose rows show that a boring was made."""
MOST_TESTS = 2000


def borings_of(
    tables: Tables,
    what: str,
    expected: str,
    units: UnitSystem = "si",
    read: frozenset[str] = frozenset(),
    soundings: frozenset[str] = frozenset(),
) -> Imported:
    """Return the borings of a log as a site without shafts; ``what`` and ``expected`` name the file where it holds none.

    ``read`` names the groups of the file beside those of AGS4 that a reader fills the tables from, ``soundings`` the holes that the
    file calls no borings, which count beside one only. Raises InputError where no boring is in the file.
    """
    beside = set_beside_borings(tables, _GROUND, soundings)
    complete_tests(tables)
    used = sorted(GROUPS & set(tables.rows))
    for group in used:
        for row in tables.of(group, ""):
            row.set_aside(f"a row of {row.group} names no boring", severity="serious")
    ids = {name for group in used for name in tables.by_boring(group) if group not in TEST_GROUPS} - {""} - beside
    for group in used:
        _without_boring(tables, group, ids | beside)
        for row in (row for name in beside if group != "LOCA" for row in tables.of(group, name)):
            row.pass_over("it belongs to a cone sounding, which is no boring")
    profiles = [made for boring in sorted(sorted(ids), key=natural_order) if (made := _boring(tables, boring)) is not None]
    file = tables.book.file
    if not profiles:
        raise InputError(Problem(f"{file}: no boring with ground is in this {what}", expected=expected))
    site = Site(site=SiteConditions(name=Path(file).stem if file != "-" else "site", units=units), borings=tuple(profiles))
    places = {Subject("boring", row.boring): Place(file, row.line, 1) for row in tables.of("LOCA")}

    def place_of(doubt: Doubt) -> Place | None:
        return places.get(doubt.subject)

    return Imported(site, tables.book.in_order(), tables.digest, tables.counts(GROUPS | {"ABBR"} | read), place_of)


def _without_boring(tables: Tables, group: str, ids: set[str]) -> None:
    """Set aside the tests of holes that nothing else of the file speaks of: a test alone is no boring."""
    for name, rows in tables.by_boring(group).items():
        if not name or name in ids:
            continue
        message = "no boring of this name is in the file, only its tests"
        rows[0].doubt(message, LEFT_OUT, severity="serious")
        for row in rows:
            row.pass_over(message)


def _boring(tables: Tables, boring: str) -> Profile | None:
    header = _header(tables, boring)
    if header is not None and not _is_made(tables, boring, header):
        return None
    depth = header.number("LOCA_FDEP") if header else None
    if depth is not None and depth <= 0:
        depth = None
    layers = read_layers(tables, boring, depth)
    depth = _depth_reached(tables, boring, header, depth, layers)
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
        ground_elevation_m=_ground_level(tables, header) if header else None,
        position=position_of(tables, header) if header else None,
        date=date_of(header) if header else None,
        technique=technique_of(tables, boring, header),
        hammer_efficiency_percent=_efficiency(tables, boring),
        diameter_m=max((length.diameter_m for length in drilling if length.diameter_m), default=None),
        depth_m=depth,
        water=tuple(in_order(water, _water_place, repr)),
        remarks=tuple(sorted(set(remarks), key=_remark_order)),
        casing_depth_m=cased_to(tables, boring, casings),
        casings=casings if _tells_more(casings) else (),
        drilling=drilling if len(drilling) > 1 else (),
        layers=tuple(layers),
        spt=tuple(tests),
        cores=cores,
        cone=read_cone(tables, boring, layers),
        cone_area_ratio=area_ratio(tables, boring),
    )


_YET_TO_COME = ("proposed", "planned")
_NOT_MADE = pattern_of(r"\b(?:proposed|planned|cancell?ed|not drilled|not made|not started|omitted|deleted|void)\b", re.IGNORECASE)


def _is_made(tables: Tables, boring: str, header: DataRow) -> bool:
    """Return whether a boring was made: one that is logged was, whatever its status says."""
    status = _not_made(tables, header)
    if not status:
        return True
    if not any(tables.of(group, boring) for group in _GROUND):
        header.set_aside(f"the boring is only {status}" if status in _YET_TO_COME else f"the boring is {status}", severity="note")
        return False
    header.doubt(f"the boring is called {status}, yet it is logged", "what was logged is believed")
    return True


def _not_made(tables: Tables, header: DataRow) -> str:
    """Return in a word why a boring was not made, by its status or what the file's own table says of it; empty where it was."""
    status = header.text("LOCA_STAT")
    found = _NOT_MADE.search(status) or _NOT_MADE.search(tables.codes("LOCA_STAT").get(status, "")) if status else None
    return found[0].lower() if found else ""


_REACHED = (("HDPH", "HDPH_BASE"), ("HDIA", "HDIA_DPTH"), ("CORE", "CORE_BASE"), ("PTIM", "PTIM_DPTH"), ("ISPT", "ISPT_TOP"))
"""Groups and headings that also say how deep a boring went."""
_ALIKE_M = 0.6
"""A penetration test reaches about so far below its depth (own value)."""


def _depth_reached(tables: Tables, boring: str, header: DataRow | None, depth_m: float | None, layers: list[Layer]) -> float | None:
    """Return the depth of a boring: of its deepest layer where that lies below the stated depth and other rows bear it out."""
    deepest = max((layer.base_m for layer in layers), default=0.0)
    if header is None or depth_m is None or deepest < depth_m + 0.05:
        return depth_m
    others = [row.number(heading) for group, heading in _REACHED for row in tables.holding(group, boring, (heading,))]
    if not any(other is not None and depth_m < other and abs(other - deepest) <= _ALIKE_M for other in others):
        return depth_m
    message = f"the boring is said to be {depth_m:.2f} m deep, its layers and other rows go to {deepest:.2f} m"
    header.doubt(message, "the layers are believed", depth_m=depth_m, severity="serious")
    return deepest


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


def _ground_level(tables: Tables, header: DataRow) -> float | None:
    """Return the ground level, on the local datum where the file gives no other for any boring; noughts of all borings are none."""
    heading = "LOCA_GL"
    if header.text("LOCA_LOCZ") and not any(row.text(heading) for row in tables.of("LOCA")):
        heading = "LOCA_LOCZ"
    level = header.number(heading)
    if level == 0.0 and tables.all_nought(heading):
        header.doubt("the ground level of every boring is nought", "it is taken for not measured")
        return None
    return level


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
        return _efficiency_in_words(tables, boring)
    chosen = min(counted, key=lambda ratio: (-counted[ratio], ratio))
    if len(counted) > 1:
        row = min(tables.of("ISPT", boring), key=lambda row: row.line)
        row.doubt(
            "several hammer energy ratios: " + ", ".join(f"{ratio:g}" for ratio in sorted(counted)) + " %",
            f"{chosen:g} % is taken for the whole boring",
        )
    return chosen


_RATIO = pattern_of(
    r"\benergy (?:ratio|transfer|efficiency)[^.;\d]{0,30}?(\d{2,3}(?:\.\d+)?)\s*%|\bEr\s*[=:]?\s*(\d{2,3}(?:\.\d+)?)\s*%", re.IGNORECASE
)


def _efficiency_in_words(tables: Tables, boring: str) -> float | None:
    """Return the hammer energy ratio that remarks name, None where they name none or several."""
    texts = [row.text("LOCA_REM") for row in tables.of("LOCA", boring)] + [row.text("ISPT_REM") for row in tables.of("ISPT", boring)]
    named = {float(found[1] or found[2]) for text in texts if "%" in text for found in _RATIO.finditer(text)}
    return next((ratio for ratio in named if 20 <= ratio <= 110), None) if len(named) == 1 else None


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
