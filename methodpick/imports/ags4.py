"""AGS4 to borings: LOCA, GEOL, ISPT, WSTG, WSTD, CORE and what else says how the ground behaved.

Law: every DATA row of these groups ends up in a boring or in a doubt, and the order of rows does not matter.
"""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path

from methodpick.errors import InputError, Problem
from methodpick.ground.profile import CoreRun, Position, Profile, Remark, Spt, Technique, WaterReading
from methodpick.ground.site import Site, SiteConditions
from methodpick.imports.ags4_layers import read_details, read_layers
from methodpick.imports.ags4_remarks import remarks_of
from methodpick.imports.ags4_spt import read_spt
from methodpick.imports.ags4_tables import LEFT_OUT, DataRow, Tables, read_tables
from methodpick.imports.ags4_water import read_water
from methodpick.imports.input_formats import Imported

GROUPS = (
    "LOCA",
    "GEOL",
    "ISPT",
    "WSTG",
    "WSTD",
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
    "MONG",
    "MOND",
    "HORN",
)
"""Groups that are read; all others are left alone."""
MOST_TESTS = 2000
_TECHNIQUES: dict[str, Technique] = {
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


def read_ags4(source: Path | str, name: str | None = None) -> Imported:
    r"""Read the borings of an AGS4 file (Path) or text (str), with a doubt for everything that is not clear.

    Raises InputError where it is no AGS4 file or names no boring.

    >>> text = '"GROUP","LOCA"\n"HEADING","LOCA_ID","LOCA_FDEP"\n"UNIT","","m"\n"DATA","BH1","9.5"\n'
    >>> read_ags4(text).profiles[0].depth_m
    9.5
    """
    name = name or (source.name if isinstance(source, Path) else "")
    tables = read_tables(source, name)
    ids = {row.boring for group in GROUPS for row in tables.of(group)}
    for group in GROUPS:
        for row in tables.of(group):
            if not row.boring:
                row.doubt(f"a row of {group} names no boring", LEFT_OUT, severity="serious")
    profiles = [profile for boring in sorted(ids - {""}, key=_natural) if (profile := _boring(tables, boring)) is not None]
    if not profiles:
        raise InputError(
            Problem(f"{tables.book.file}: no boring with ground is in this AGS4 file", expected="groups LOCA and GEOL with rows")
        )
    site = Site(site=SiteConditions(name=Path(name).stem, units="si"), borings=tuple(profiles))
    return Imported(site, tables.book.in_order(), tables.digest)


def _natural(text: str) -> list[tuple[int, int, str]]:
    """Sort BH2 before BH10."""
    return [(0, int(part), "") if part.isdecimal() else (1, 0, part) for part in re.split(r"(\d{1,9})", text) if part]


def _boring(tables: Tables, boring: str) -> Profile | None:
    header = _header(tables, boring)
    if header is not None and header.text("LOCA_STAT").upper() == "PROPOSED":
        header.doubt("the boring is only proposed", LEFT_OUT, severity="note")
        return None
    depth = header.number("LOCA_FDEP") if header else None
    if depth is not None and depth <= 0:
        depth = None
    layers = read_layers(tables, boring, depth)
    end = depth if depth is not None else max((layer.base_m for layer in layers), default=None)
    layers, details = read_details(tables, boring, layers)
    tests, without_count = _tests(tables, boring)
    water = read_water(tables, boring, layers, end)
    _inclined(tables, boring)
    remarks = remarks_of(tables, boring) + details + without_count
    return Profile(
        id=boring,
        ground_elevation_m=header.number("LOCA_GL") if header else None,
        position=_position(header) if header else None,
        technique=_technique(tables, boring, header),
        hammer_efficiency_percent=_efficiency(tables, boring),
        diameter_m=_largest(tables, boring, "HDIA", "HDIA_DIAM", "mm"),
        depth_m=depth,
        water=tuple(sorted(water, key=_water_order)),
        remarks=tuple(sorted(set(remarks), key=_remark_order)),
        casing_depth_m=_largest(tables, boring, "CDIA", "CDIA_DPTH", "m"),
        layers=tuple(layers),
        spt=tuple(tests),
        cores=tuple(_cores(tables, boring)),
    )


def _header(tables: Tables, boring: str) -> DataRow | None:
    rows = tables.of("LOCA", boring)
    if not rows:
        first = next(row for group in GROUPS for row in tables.of(group, boring))
        first.doubt(f"boring {boring} has no LOCA row", "its depth, level and technique are not known")
        return None
    rows = tuple(sorted(rows, key=lambda row: row.order))
    for row in rows[1:]:
        row.doubt(f"boring {boring} stands twice in LOCA", "one row is followed", severity="serious")
    return rows[0]


def _position(header: DataRow) -> Position | None:
    for east, north in (("LOCA_NATE", "LOCA_NATN"), ("LOCA_LOCX", "LOCA_LOCY")):
        if header.text(east) and header.text(north):
            x, y = header.number(east), header.number(north)
            if x is not None and y is not None:
                return Position(east_m=x, north_m=y)
    return None


def _technique(tables: Tables, boring: str, header: DataRow | None) -> Technique:
    """Return how the upper part was drilled, which decides how far a water reading is believed."""
    stated = header.text("LOCA_TYPE") if header else ""
    rows = sorted(tables.of("HDPH", boring), key=lambda row: row.number("HDPH_TOP") or 0.0)
    for kind in [*stated.split("+"), *(row.text("HDPH_TYPE") for row in rows)]:
        if kind.strip().upper() in _TECHNIQUES:
            return _TECHNIQUES[kind.strip().upper()]
    if header is not None and stated:
        header.doubt("the kind of boring is not known here", "its technique stays unknown", quoted=stated, severity="note")
    return "unknown"


def _efficiency(tables: Tables, boring: str) -> float | None:
    """Return the hammer energy ratio; where several hammers were used the commonest one, the lower at a tie."""
    counted: Counter[float] = Counter()
    for row in tables.of("ISPT", boring):
        ratio = row.number("ISPT_ERAT", "%")
        if ratio is not None and 20 <= ratio <= 110:
            counted[ratio] += 1
        elif ratio is not None:
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


def _largest(tables: Tables, boring: str, group: str, heading: str, bare: str) -> float | None:
    rows = tables.of(group, boring)
    found = [value for row in rows if (value := row.number(heading, "m", bare)) is not None]
    return max((value for value in found if value > 0), default=None)


def _tests(tables: Tables, boring: str) -> tuple[list[Spt], list[Remark]]:
    read = [read_spt(row) for row in tables.of("ISPT", boring)]
    tests = sorted((test for test in read if isinstance(test, Spt)), key=lambda test: (test.depth_m, test.n or 0, test.text))
    if len(tests) > MOST_TESTS:
        tables.of("ISPT", boring)[0].doubt(
            f"the boring has {len(tests)} penetration tests", f"only the first {MOST_TESTS} are read", severity="serious"
        )
    return tests[:MOST_TESTS], [remark for remark in read if isinstance(remark, Remark)]


def _cores(tables: Tables, boring: str) -> list[CoreRun]:
    runs = []
    for row in tables.of("CORE", boring):
        top, base = row.number("CORE_TOP"), row.number("CORE_BASE")
        if top is None or base is None or not 0 <= top < base:
            row.doubt("the core run has no length", LEFT_OUT, depth_m=top, severity="serious")
            continue
        shares = {}
        for field, heading in (("recovery_percent", "CORE_PREC"), ("solid_percent", "CORE_SREC"), ("rqd_percent", "CORE_RQD")):
            share = row.number(heading, "%")
            if share is not None and not 0 <= share <= 110:
                row.doubt(f"{heading} of {share:g} % cannot be", LEFT_OUT, depth_m=top)
            elif share is not None:
                shares[field] = share
        runs.append(CoreRun(top_m=top, base_m=base, **shares))
    return sorted(runs, key=lambda run: (run.top_m, run.base_m))[:MOST_TESTS]


def _inclined(tables: Tables, boring: str) -> None:
    for row in tables.of("HORN", boring):
        angle = row.number("HORN_INCL", "deg")
        if angle is not None and abs(abs(angle) - 90) > 5:
            row.doubt(
                f"the boring is inclined at {angle:g} degrees",
                "its depths are along the hole and are not turned into vertical depths",
                severity="serious",
            )


def _water_order(reading: WaterReading) -> tuple[float, float, str]:
    met, level = reading.met_m, reading.level_m
    return (1e9 if met is None else met, 1e9 if level is None else level, repr(reading))


def _remark_order(remark: Remark) -> tuple[float, str]:
    return (-1.0 if remark.depth_m is None else remark.depth_m, remark.text)
