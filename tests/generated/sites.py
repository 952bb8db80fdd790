"""Realistic site files, generated: ground, water, tests, shafts and surroundings as the tree of a site file.

The same code makes a site from a seeded ``random.Random`` (for surveys) and from the random source of hypothesis (for laws), which
then makes a failing site smaller by itself. Shares and ranges are common practice or own choice; they only have to be plausible,
since no test expects one of the numbers.
"""

from dataclasses import dataclass
from random import Random

import yaml
from borings import DETAIL, Bed, cut_at, logged, placed, signs, technique
from draws import Draws
from file_units import INCH_MM, in_units
from grounds import GROUNDS
from hypothesis import strategies as st
from readings import water_of

DIAMETERS_MM = {
    "us": tuple(round(inches * INCH_MM, 1) for inches in (36, 48, 72, 30, 42, 54, 60, 84, 96, 120)),
    "si": (900.0, 1200.0, 1800.0, 750.0, 1000.0, 1350.0, 1500.0, 2000.0, 2500.0, 3000.0),
}
"""Diameters that shafts are designed with, the usual ones first."""
PLANT = ("vibratory", "oscillator", "rotator", "kelly_twist", "impact_hammer", "desander", "core_barrel")
NEIGHBOURS = ("brick house on footings", "railway track", "water main", "bridge pier on piles")


@dataclass(frozen=True)
class GeneratedSite:
    """A site: its tree in SI, the units of its file, and of what kind it is."""

    tree: dict
    units: str
    ground: str
    water: str
    detail: str

    @property
    def text(self) -> str:
        """The site file."""
        return text_of(in_units(self.tree, self.units))


class Writer(getattr(yaml, "CSafeDumper", yaml.SafeDumper)):
    """Writes YAML in which a part that stands twice is written twice, by the C library where it is there."""

    def ignore_aliases(self, data: object) -> bool:
        del data
        return True


def text_of(tree: object) -> str:
    """Write a tree as YAML, the innermost maps and lists on one line."""
    return yaml.dump(tree, Dumper=Writer, sort_keys=False, default_flow_style=None, allow_unicode=True, width=120)


def numbered_site(seed: int, number: int, diameters: int = 3, detail: str | None = None) -> GeneratedSite:
    """Give a site by its number in the series of a seed; the ground types take turns."""
    return build_site(Random(f"{seed}/{number}"), list(GROUNDS)[number % len(GROUNDS)], diameters, detail)  # noqa: S311 (no secret)


def generated_sites(diameters: int = 1, detail: str | None = None) -> st.SearchStrategy[GeneratedSite]:
    """Give sites of every ground type, with logs of one detail or of any, to hypothesis."""
    sources, grounds = st.randoms(use_true_random=False), st.sampled_from(list(GROUNDS))
    return st.builds(build_site, sources, grounds, st.just(diameters), st.just(detail))


def build_site(rng: Random, ground: str, diameters: int, detail: str | None = None) -> GeneratedSite:
    """Make a site of a ground type; its shafts differ in diameter only."""
    draws = Draws(rng)
    detail = draws.pick(DETAIL) if detail is None else detail
    beds = placed(draws, GROUNDS[ground](rng))
    socket_m = _socket(draws, beds)
    tip_m = draws.length(8, 32) if socket_m is None else draws.round_length(socket_m + draws.between((1.5, 6)))
    beds = cut_at(beds, _boring_depth(draws, tip_m))
    depth_m = draws.length(2, 14) if ground == "open water" else None
    way = technique(draws, beds)
    water, readings = water_of(draws, beds, ground, depth_m)
    boring: dict = {"id": "B-1"}
    if draws.maybe(0.5):
        boring["ground_elevation"] = draws.length(5, 200)
    boring |= {"technique": way} if way else {}
    boring |= {"hammer_efficiency": draws.rng.randint(55, 90)} if draws.maybe(0.3) else {}
    boring |= {"depth": beds[-1].base} | ({"water": readings} if readings else {})
    boring |= logged(draws, beds, detail) | signs(draws, beds, way)
    firm = not next(bed.material for bed in reversed(beds) if bed.top < tip_m).pervious
    shafts = _shafts(draws, diameters, (tip_m, socket_m, depth_m), firm=firm)
    conditions = _conditions(draws, boring, shafts, depth_m)
    tree = {"methodpick": 1, "site": conditions, "borings": [boring], "shafts": shafts}
    if draws.maybe(0.05):
        outside = round(max(shaft["diameter"] for shaft in shafts) + 4 * INCH_MM, 1)
        tree["stock"] = [{"outside_diameter": outside, "wall": 12.7, "length": draws.length(6, 18), "count": 2}]
    return GeneratedSite(tree, draws.units, ground, water, detail)


def _socket(draws: Draws, beds: list[Bed]) -> float | None:
    """Give the top of a rock socket, where rock lies within reach and is used."""
    rock_m = next((bed.top for bed in beds if bed.material.ucs), None)
    return rock_m if rock_m is not None and 4 < rock_m < 40 and draws.maybe(0.7) else None


def _boring_depth(draws: Draws, tip_m: float) -> float:
    """Mostly more than two usual diameters below the tip, sometimes less, seldom above the tip."""
    kind = draws.rng.random()
    if kind < 0.85:
        return draws.length(tip_m + 5, tip_m + 9)
    return draws.length(tip_m + 0.3, tip_m + 3) if kind < 0.95 else draws.length(0.5 * tip_m, 0.95 * tip_m)


def _shafts(draws: Draws, diameters: int, depths: tuple[float, float | None, float | None], *, firm: bool) -> list[dict]:
    """Give shafts of several diameters at one place, otherwise alike; a bell only where the tip is in tight ground."""
    tip_m, socket_m, water_depth_m = depths
    sizes = sorted(draws.rng.sample(DIAMETERS_MM[draws.units], diameters))
    cutoff = draws.length(0.3, 3) if draws.maybe(0.4) else 0.0
    if water_depth_m is not None and draws.maybe(0.5):
        cutoff = -draws.round_length(water_depth_m + 1.0)
    common: dict = {"boring": "B-1"} if draws.maybe(0.8) else {}
    common |= {"tip": tip_m} | ({"cutoff": cutoff} if cutoff else {}) | ({"socket_top": socket_m} if socket_m is not None else {})
    narrower, cage, bell = socket_m is not None and draws.maybe(0.4), draws.maybe(0.5), firm and socket_m is None and draws.maybe(0.15)
    common |= {"bearing": draws.pick(("side", "base"))} if draws.maybe(0.2) else {}
    common |= {"count": draws.rng.randint(2, 12)} if draws.maybe(0.3) else {}
    shafts = []
    for number, size in enumerate(sizes, 1):
        shaft = {"id": f"P{number}", "diameter": size} | common
        shaft |= {"socket_diameter": round(size - 150, 1)} if narrower else {}
        shaft |= {"cage_diameter": round(size - 6 * INCH_MM * 1.5, 1), "cover": 3 * INCH_MM} if cage else {}
        shaft |= {"bell": {"diameter": round(2.0 * size, 1), "height": round(size / 1000, 3)}} if bell else {}
        shafts.append(shaft)
    return shafts


def _conditions(draws: Draws, boring: dict, shafts: list[dict], water_depth_m: float | None) -> dict:
    """Give what the site is like: setting, specification, plant, surroundings, elevations."""
    site: dict = {"name": "Generated site", "units": "si"}
    site |= _setting(draws, boring, water_depth_m)
    if draws.maybe(0.12):
        site["allowed"] = draws.pick((["slurry", "temporary_casing", "permanent_casing"], ["dry", "temporary_casing"], ["dry", "slurry"]))
    if draws.maybe(0.2):
        site["fluids_allowed"] = draws.pick((["water", "polymer"], ["mineral"], ["polymer"], ["water", "mineral"]))
    if draws.maybe(0.6):
        site["equipment"] = _plant(draws, max(shaft["diameter"] for shaft in shafts))
    if draws.maybe(0.15):
        site["neighbours"] = [{"what": draws.pick(NEIGHBOURS), "distance": draws.length(1.5, 30)}]
    site |= {"headroom": draws.length(4, 14)} if draws.maybe(0.06) else {}
    site |= {"surcharge": draws.number("stress", draws.between((5, 30)))} if draws.maybe(0.3) else {}
    site |= {"contamination": draws.pick(("none", "none", "unknown", "fuel in the fill"))} if draws.maybe(0.5) else {}
    site |= {"recharge": [draws.pick(("none", "river 60 m away"))]} if draws.maybe(0.1) else {}
    if draws.maybe(0.2):
        site["water_chemistry"] = {"hardness": draws.rng.randint(40, 500), "chloride": draws.rng.randint(10, 900), "ph": 7.2}
    if draws.maybe(0.25):
        site["schedule"] = {"shift_hours": draws.pick((8, 10, 12, 24)), "overnight_allowed": draws.maybe(0.5), "concrete_wait_h": 1.5}
    site |= {"starter_casing": False} if draws.maybe(0.04) else {}
    if "ground_elevation" in boring and draws.maybe(0.3):
        above = 0.0 if water_depth_m is not None else draws.pick((0.0, 0.2, -0.4, 0.8))
        for shaft in shafts:
            shaft["ground_elevation"] = round(boring["ground_elevation"] + above, 3)
    return site


def _setting(draws: Draws, boring: dict, water_depth_m: float | None) -> dict:
    """Give land with its working level, or open water with the platform above it."""
    if water_depth_m is None:
        if draws.maybe(0.8):
            return {"setting": "land"}
        if "ground_elevation" in boring and draws.maybe(0.5):
            return {"setting": "land", "drilling_grade": {"elevation": round(boring["ground_elevation"] + draws.length(0.3, 2), 3)}}
        return {"setting": "land", "drilling_grade": {"above_ground": draws.length(0.3, 2)}}
    high = draws.round_length(water_depth_m + draws.between((0.3, 3)))
    site: dict = {"setting": "water", "water_depth": water_depth_m}
    if draws.maybe(0.7):
        site["water_level"] = {"low": draws.round_length(0.8 * water_depth_m), "high": high}
        site["water_level"] |= {"flow_velocity": draws.number("speed", draws.between((0.3, 2)))} if draws.maybe(0.4) else {}
    site["drilling_grade"] = {"above_ground": draws.round_length(high + draws.between((1, 4)))}
    return site


def _plant(draws: Draws, diameter_mm: float) -> dict:
    """Give the plant at hand: what is named, as there or as not there, and the largest casing it takes."""
    plant: dict = {name: draws.maybe(0.6) for name in PLANT if draws.maybe(0.6)}
    if draws.maybe(0.4):
        plant["max_casing"] = draws.number("size", diameter_mm + draws.pick((600.0, 300.0, 0.0)))
    return plant
