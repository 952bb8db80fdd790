"""Every total of two example sites worked out anew from the written plan, by a script that shares no code and no number with the package.

Numbers of the rulebook are copied here from their sources: 10 to 30 % of the hole lost and 1.5 holes in stock, or hole and losses
where they come to more (common practice, no source), one integrity tube for each foot of cage (GEC 10 sec. 16.2, digest) of three
at least (ASTM D6760) that stands 0.6 m over the cut-off (own value of the rulebook), a truck of 9 yd3, swell as compiled by Church
1981 (secondary).
"""

import json
from collections import defaultdict
from dataclasses import replace
from functools import cache
from itertools import pairwise
from math import ceil, pi

import pytest

from methodpick.formats.json import plan_json, takeoff_json
from methodpick.plan.result import OtherWays

STEEL, WATER = 7850.0, 1000.0
FULL = {"water", "polymer", "mineral", "cased_balanced", "cased_plug"}
FLUIDS = {"polymer": "polymer fluid", "mineral": "mineral slurry", "water": "water"}
SWELL = {
    **dict.fromkeys(("clay",), (20, 35, 40)),
    **dict.fromkeys(("silt",), (20, 35, 35)),
    **dict.fromkeys(("silty_sand", "clean_sand", "silty_gravel", "clean_gravel", "cobbles"), (5, 10, 15)),
    "weathered_rock": (25, 33, 40),
    "rock": (40, 60, 80),
    "unknown": (5, 30, 60),
}
LOST, FREE = (0.1, 0.2, 0.3), (0.1, 0.2, 0.3)
TRUCK_M3 = 9 * 0.764554858


class Recomputed:
    """The totals of a written plan, each as low, likely and high."""

    def __init__(self, plan):
        self.plan, self.site = plan, plan["site"]
        self.rates = self.site.get("rates") or {}
        self.totals = defaultdict(lambda: (0.0, 0.0, 0.0))
        self.stocked, self.hours, self.wear = {}, (0.0, 0.0, 0.0), defaultdict(float)
        drawn = {shaft["id"]: shaft for shaft in self.site["shafts"]}
        for shaft in plan["shafts"]:
            self.shaft(shaft, drawn[shaft["id"]])
        for fluid, (stock_m3, shaft) in self.stocked.items():
            stock = (stock_m3,) * 3
            self.add(f"{FLUIDS[fluid]}, stock", stock)
            self.mixed(shaft, stock, "for the stock")
            self.add(f"{FLUIDS[fluid]}, to be rid of at the end", stock)

    def add(self, item, amount, count=1):
        amount = amount if isinstance(amount, tuple) else (amount,) * 3
        self.totals[item] = tuple(old + new * count for old, new in zip(self.totals[item], amount, strict=True))

    def shaft(self, shaft, drawn):
        count, tip, cut = shaft["count"], shaft["tip_depth_m"], shaft["cutoff_m"]
        pad = max(0.0, -shaft["levels"]["grade_m"])
        for interval in shaft["intervals"]:
            named = {"silty_sand": "sand with fines", "silty_gravel": "gravel with fines"}.get(interval["soil_class"])
            self.add(f"drilled in {named or interval['soil_class'].replace('_', ' ')}", interval["base_m"] - interval["top_m"], count)
        if pad:
            self.add("drilled in the working pad", pad, count)
        self.add("drilled, all materials", tip + pad, count)
        self.add("empty bore, of the drilled length", cut + pad, count)
        if self.site.get("pay", {}).get("measured_from") == "cutoff":
            self.add("shaft, length measured for payment", tip - cut, count)
            self.add("drilled beside the measured length", cut + pad, count)
        self.casings(shaft, count)
        self.fluids(shaft, count)
        order = self.concrete(shaft, drawn, count)
        self.spoil(shaft, drawn, pad, count)
        cage = drawn.get("cage_diameter_m")
        tubes = max(3, ceil(round(cage / 0.3048, 6)))
        self.add("integrity tubes", tubes, count)
        self.add("integrity tubes, length", tubes * (tip - cut + 0.6), count)
        if self.rates:
            self.work(shaft, order, pad, count)

    def casings(self, shaft, count):
        for casing in shaft["casings"]:
            outside, wall, length = casing["outside_diameter_m"], casing["wall_m"], casing["base_m"] - casing["top_m"]
            name = f"{casing['kind']} casing {outside * 1000:.0f} mm x {wall * 1000:.1f} mm"
            self.add(f"{name}, length", length, count)
            self.add(f"{name}, mass", pi * (outside - wall) * wall * STEEL * length, count)
            self.add(f"{name}, splices", len(casing["sections_m"]) - 1, count)

    def fluids(self, shaft, count):
        for line in shaft["quantities"]["lines"]:
            fluid = next((key for key, words in FLUIDS.items() if line["item"] == f"{words}, to fill the hole"), None)
            if fluid is None:
                continue
            hole = line["value"]
            lost = tuple(share * hole for share in LOST)
            self.add(f"{FLUIDS[fluid]}, hole volume", hole, count)
            self.add(f"{FLUIDS[fluid]}, lost", lost, count)
            self.mixed(shaft, lost, "to make the loss good", count)
            loss = shaft["fluid_programme"]["loss"]
            runs_on = (loss["rate_m3_h"] or 0.0) * loss["hours_open"] + (loss["once_least_m3"] or 0.0)
            stock = max(1.5 * hole, hole + LOST[2] * hole + runs_on)
            if stock > self.stocked.get(fluid, (0.0, None))[0]:
                self.stocked[fluid] = stock, shaft

    def mixed(self, shaft, volume, purpose, count=1):
        for part in (shaft["fluid_programme"] or {"mix": {"ingredients": []}})["mix"]["ingredients"]:
            dose = part["least_kg_m3"], part["kg_m3"], part["most_kg_m3"]
            if part["name"] == "water":
                self.add(f"mixing water, {purpose}", tuple(d / WATER * v for d, v in zip(dose, volume, strict=True)), count)
            elif dose[2] > 0:
                name = "bentonite, dry" if part["name"] == "bentonite" else part["name"]
                self.add(f"{name}, {purpose}", tuple(d * v for d, v in zip(dose, volume, strict=True)), count)

    def hole(self, shaft, drawn):
        """Yield the lengths of the hole with their diameter as drilled and as drawn."""
        socket = drawn.get("socket_top_m") if drawn.get("socket_diameter_m") else None
        tip = shaft["tip_depth_m"]
        ends = {0.0, tip, *([socket] if socket else [])}
        ends |= {depth for casing in shaft["casings"] for depth in (casing["base_m"], casing["predrill_base_m"]) if 0 < depth < tip}
        depths = sorted(ends)
        for top, base in pairwise(depths):
            design = drawn["socket_diameter_m"] if socket and top >= socket - 1e-6 else drawn["diameter_m"]
            there = [casing for casing in shaft["casings"] if casing["base_m"] >= base - 1e-6]
            drilled = [
                max(casing["outside_diameter_m"], casing["predrill_diameter_m"] if casing["predrill_base_m"] >= base - 1e-6 else 0.0)
                for casing in there
            ]
            yield top, base, max(drilled, default=design), design

    def concrete(self, shaft, drawn, count):
        cut = shaft["cutoff_m"]
        below = [(max(top, cut), base, wide, design) for top, base, wide, design in self.hole(shaft, drawn) if base > cut]
        by_drawing = sum(pi / 4 * design**2 * (base - top) for top, base, _, design in below)
        fill = sum(pi / 4 * wide**2 * (base - top) for top, base, wide, _ in below)
        written = shaft["concrete"]
        broken = tuple(written[f"overbreak_{end}m3"] for end in ("low_", "", "high_"))
        finished = written["finished_level_m"]
        over = sum(
            pi / 4 * wide**2 * (min(base, cut) - max(top, finished))
            for top, base, wide, _ in self.hole(shaft, drawn)
            if min(base, cut) > max(top, finished)
        )
        self.add("concrete, by the drawing", by_drawing, count)
        self.add("concrete, casing oversize (method overrun)", fill - by_drawing, count)
        self.add("concrete, ground overbreak", broken, count)
        self.add("concrete, over-pour to trim", over, count)
        order = tuple(fill + over + part for part in broken)
        self.add("concrete, to order", order, count)
        self.add("trucks of concrete", tuple(float(ceil(round(part / TRUCK_M3, 4))) for part in order), count)
        return order

    def spoil(self, shaft, drawn, pad, count):
        bank, loose, wet = 0.0, [0.0] * 3, 0.0
        pieces = list(self.hole(shaft, drawn))
        for interval in shaft["intervals"]:
            for top, base, wide, _ in pieces:
                length = min(base, interval["base_m"]) - max(top, interval["top_m"])
                if length > 0:
                    volume = pi / 4 * wide**2 * length
                    bank += volume
                    wet += volume if interval["drilled_in"] in FULL else 0.0
                    loose = [old + volume * (1 + swell / 100) for old, swell in zip(loose, SWELL[interval["soil_class"]], strict=True)]
        self.add("spoil, bank", bank, count)
        self.add("spoil, loose", tuple(loose), count)
        if wet:
            self.add("free fluid on the spoil", tuple(share * wet for share in FREE), count)
        if pad:
            volume = pi / 4 * pieces[0][2] ** 2 * pad
            self.add("spoil of the working pad, bank", volume, count)
            self.add("spoil of the working pad, loose", tuple(volume * (1 + swell / 100) for swell in SWELL["unknown"]), count)

    # ---- hours and cost

    def work(self, shaft, order, pad, count):
        """Add the hours of a shaft by the rates, and the lengths that wear tools."""
        rates, casing = self.rates, self.rates["casing"]
        hours = [0.0, 0.0, 0.0]

        def add(band, times=1.0):
            for end, value in enumerate(ends(band)):
                hours[end] += times * value

        for place, interval in enumerate(shaft["intervals"]):
            length = interval["base_m"] - interval["top_m"] + (pad if place == 0 else 0.0)
            rate = self.drilling(interval)
            low, likely, high = ends(rate["speed_m_h"])
            for end, speed in enumerate((high, likely, low)):
                hours[end] += length / speed
            self.wear[rates["drilling"].index(rate)] += length * count
        add(casing["set_h"], len(shaft["casings"]))
        add(casing["splice_h"], sum(len(each["sections_m"]) - 1 for each in shaft["casings"]))
        add(casing["pull_h"], sum(each["kind"] != "permanent" for each in shaft["casings"]))
        add(rates["fluid"]["fill_h"], sum(stage["action"] in {"introduce_fluid", "refill", "exchange_fluid"} for stage in shaft["stages"]))
        for key in ("clean_h", "cage_h", "move_h"):
            add(rates[key])
        low, likely, high = ends(rates["pour"]["speed_m3_h"])
        for end, speed in enumerate((high, likely, low)):
            hours[end] += order[end] / speed
        self.hours = tuple(old + count * new for old, new in zip(self.hours, hours, strict=True))

    def drilling(self, interval):
        hole = "full" if interval["drilled_in"] in FULL else "dry"
        fitting = [
            rate
            for rate in self.rates["drilling"]
            if rate["material"] in (interval["soil_class"], "any") and rate.get("hole", "any") in (hole, "any")
        ]
        return min(fitting, key=lambda rate: rate["material"] == "any")

    def cost(self, yard, calendar):
        """Return the lines of cost by what they are for; ``yard`` and ``calendar`` are those of the takeoff, which have their days."""
        rates, total = self.rates, self.totals
        sums = lambda *starts: [sum(total[item][end] for item in total if item.startswith(starts)) for end in range(3)]  # noqa: E731
        found = {
            "mobilisation": ends(rates["mobilisation"]),
            "rig and crew": product(self.hours, rates["rig_per_h"]),
            "rig and crew, standing": product(standing(self.hours, calendar), rates.get("rig_standing_per_h") or rates["rig_per_h"]),
            "wear": tuple(
                sum(length * ends(rates["drilling"][place]["wear_per_m"])[end] for place, length in self.wear.items()) for end in range(3)
            ),
            "fluid plant": ends(rates["fluid"]["plant"]),
            "bentonite, dry": product(sums("bentonite, dry"), rates["fluid"]["mineral_per_kg"]),
            "polymer, dry": product(sums("polymer, dry"), rates["fluid"]["polymer_per_kg"]),
            "soda ash": product(sums("soda ash"), rates["fluid"]["soda_ash_per_kg"]),
            "mixing water": product(sums("mixing water"), rates["fluid"]["water_per_m3"]),
            "disposal of fluid": product(
                sums("free fluid", *(f"{words}, to be rid" for words in FLUIDS.values())), rates["fluid"]["disposal_per_m3"]
            ),
            "concrete": product(total["concrete, to order"], rates["pour"]["concrete_per_m3"]),
            "spoil": product(sums("spoil, loose", "spoil of the working pad, loose"), rates["spoil_per_m3"]),
            "reinforcement cages": product((sum(shaft["count"] for shaft in self.plan["shafts"]),) * 3, rates["cage_each"]),
            "integrity tubes": product(total["integrity tubes, length"], rates["tubes_per_m"]),
        }
        for name, metres, price in (("from the yard", "from_yard_m", "own_per_m_day"), ("rented", "to_get_m", "rent_per_m_day")):
            days = [sum(string[metres] * string["days"][end] for string in yard["strings"]) for end in ("low", "likely", "high")]
            found[f"temporary casing, {name}"] = product(days, rates["casing"][price])
        return found


def standing(worked, calendar):
    """Return the hours on site that are no work: at least, likely and at most."""
    on_site = (calendar["days"][end] * calendar["rigs_used"] * calendar["shift_h"] for end in ("low", "likely", "high"))
    idle = [max(0.0, here - work) for here, work in zip(on_site, worked, strict=True)]
    return min(idle), idle[1], max(idle)


def ends(band):
    likely = band.get("likely")
    return band["low"], (band["low"] + band["high"]) / 2 if likely is None else likely, band["high"]


def product(amount, band):
    return tuple(quantity * price for quantity, price in zip(amount, ends(band), strict=True))


@pytest.fixture(scope="module")
def written(takeoff):
    """Return the plan of an example, without the ways beside it, and the takeoff as they are written; each is written once."""

    @cache
    def read(name):
        made = takeoff(name)
        shafts = tuple(replace(shaft, other_ways=OtherWays.known(None, (), ())) for shaft in made.site.plan.shafts)
        return json.loads(plan_json(replace(made.site.plan, shafts=shafts))), json.loads(takeoff_json(made))

    return read


@pytest.mark.parametrize("name", ["viaduct", "saturated-sand"])
def test_every_total_is_what_the_written_plan_comes_to(written, name):
    plan, taken_off = written(name)
    anew = Recomputed(plan).totals
    assert {line["item"] for line in taken_off["totals"]} == set(anew)
    for line in taken_off["totals"]:
        amount = tuple(line["amount"][end] for end in ("low", "likely", "high"))
        assert amount == pytest.approx(anew[line["item"]], rel=2e-5, abs=1e-3), line["item"]


def test_every_line_of_cost_and_the_total_are_what_the_written_plan_comes_to(written):
    plan, taken_off = written("viaduct")
    anew = Recomputed(plan)
    hours = [sum(row["total"][end] * row["count"] for row in taken_off["hours"]) for end in ("low", "likely", "high")]
    assert anew.hours == pytest.approx(hours, rel=1e-5)
    cost = anew.cost(taken_off["yard"], taken_off["calendar"])
    lines = defaultdict(lambda: [0.0, 0.0, 0.0])
    for line in taken_off["cost"]["lines"]:
        name = line["item"] if not line["item"].startswith("wear") else "wear"
        lines[name] = [old + line["amount"][end] for old, end in zip(lines[name], ("low", "likely", "high"), strict=True)]
    assert set(lines) == set(cost)
    for name, amount in lines.items():
        assert tuple(amount) == pytest.approx(cost[name], rel=2e-5), name
    total = [sum(amount[end] for amount in cost.values()) for end in range(3)]
    assert [taken_off["cost"]["total"][end] for end in ("low", "likely", "high")] == pytest.approx(total, rel=1e-5)
    assert not taken_off["cost"]["unpriced"]
