"""Changes of a site whose effect on the plan is known beforehand: what must stay the same, and what must not get better.

A relation draws the particulars of a change (plain values, so that a counterexample can be written down), makes the changed site from
a site and particulars, and judges the two plans. A site where the change does not apply gives no particulars.
"""

from collections.abc import Callable
from copy import deepcopy
from dataclasses import dataclass
from functools import cache, partial
from random import Random

from file_units import in_units, snapped
from judgements import (
    Found,
    Pair,
    any_better,
    better_for_want_of_strength,
    better_for_want_of_water,
    dry_better,
    firmly_better,
    fluid_better,
    same,
    same_but_for_doubts,
    same_but_for_elevations,
    same_but_for_the_log,
    same_to_rounding,
)
from sites import text_of

from methodpick.engine.load import load_rulebook
from methodpick.imports.site_file import read_site
from methodpick.plan.checks.catalogue import cutting_limits
from methodpick.plan.judging.slices import judge
from methodpick.plan.pipeline import assumptions_for, plan
from methodpick.resources import folder
from methodpick.review.ground_anew import ReviewBasis, ground_anew

BANDS = {"su": "stress", "unit_weight": "weight", "ucs": "strength", "fines": None, "pi": None, "d10": None, "rqd": None}
LEVELS = ("settled", "while_drilling", "confined", "piezometer", "perched", "end_of_drilling")

Tree = dict


@cache
def rulebook():
    return load_rulebook(folder("rules"))


def judged_at(tree: Tree, plan_, levels):
    """Judge the ground of a tree at other fluid levels than its plan has."""
    site, _ = read_site(text_of(in_units(tree, "si")), "generated.yaml")
    basis = ReviewBasis(site, rulebook(), assumptions_for(site, rulebook(), assumptions=True))
    facts = ground_anew(basis, plan_, levels, plan_.cuts_m)
    gatherer = facts.ground.gatherer
    slices = gatherer.slices(cutting_limits(rulebook()), facts.inside)
    return judge(gatherer, slices, rulebook(), facts.inside).slices


def planned(tree: Tree, units: str = "si", *, assumptions: bool = True):
    """Plan the only shaft of a tree, read from a file of that unit system, always with the metric lists of casing and tools."""
    site, _ = read_site(text_of(in_units(tree, units)), "generated.yaml")
    metric = site.model_copy(update={"site": site.site.model_copy(update={"units": "si"})})
    return plan(metric, rulebook(), assumptions=assumptions).shafts[0]


# ---- the relations


@dataclass(frozen=True)
class Relation:
    """A change, drawn and made, and what is wrong with the plan of the changed site."""

    name: str
    draw: Callable[[Random, Tree], dict | None]
    make: Callable[..., Tree]
    judge: Callable[..., Found]
    units: str = "si"
    assumptions: bool = True
    detail: str | None = None
    """What a log must tell for the change to apply."""
    measure: Callable[..., Tree] | None = None
    """Make the site that the changed one is held against, where it is not the site itself."""

    def violations(self, tree: Tree, particulars: dict) -> Found:
        """Plan the site and the changed one; name what the change may not do."""
        changed = self.make(deepcopy(tree), **particulars)
        first = tree if self.measure is None else self.measure(deepcopy(tree), **particulars)
        before, after = planned(first), planned(changed, self.units, assumptions=self.assumptions)
        return self.judge(Pair(before, after, partial(judged_at, first, before)))


def layers_of(tree: Tree) -> list[dict]:
    return tree["borings"][0]["layers"]


def readings_of(tree: Tree) -> list[dict]:
    return tree["borings"][0].get("water", [])


def _nothing(_rng: Random, _tree: Tree) -> dict:
    return {}


# ---- water


def raised(reading: dict, by: float) -> dict:
    """Give a reading whose water stands higher; it was met where it was met. Free water does not rise over the ground."""
    level = reading.get("rises_to", reading.get("depth"))
    if reading["reading"] not in LEVELS or level is None:
        return reading
    free = reading["reading"] in ("settled", "while_drilling", "end_of_drilling", "perched")
    new = round(level - by if not free or level > by else 0.5 * min(level, 2 * by), 3)
    if reading["reading"] in ("while_drilling", "end_of_drilling"):
        return {key: value for key, value in reading.items() if key != "depth"} | {"struck": reading.get("struck", level), "rises_to": new}
    return reading | ({"rises_to": new} if "rises_to" in reading else {"depth": new})


def _draw_rise(rng: Random, tree: Tree) -> dict | None:
    named = [one for one in readings_of(tree) if one["reading"] in LEVELS]
    return {"by": round(rng.uniform(0.2, 5), 2)} if named and tree["site"].get("setting") != "water" else None


def _raise_water(tree: Tree, by: float) -> Tree:
    tree["borings"][0]["water"] = [raised(one, _within_its_layer(tree, one, by)) for one in readings_of(tree)]
    return tree


def _within_its_layer(tree: Tree, reading: dict, by: float) -> float:
    """Give how far a reading rises: perched water that rose out of the layer that holds it would be other water."""
    if reading["reading"] != "perched":
        return by
    tops = [layer["top"] for layer in layers_of(tree) if layer["top"] <= reading["depth"] < layer["base"]]
    return min(by, *(reading["depth"] - top for top in tops)) if tops else by


def _draw_reading(rng: Random, tree: Tree) -> dict | None:
    which = [index for index, one in enumerate(readings_of(tree)) if one["reading"] in LEVELS]
    if not which or tree["site"].get("setting") == "water":
        return None
    return {"reading": rng.choice(which), "by": round(rng.uniform(0.2, 5), 2)}


def _add_reading(tree: Tree, reading: int, by: float) -> Tree:
    old = readings_of(tree)[reading]
    readings_of(tree).append(raised(old, _within_its_layer(tree, old, by)))
    return tree


def _draw_any_reading(rng: Random, tree: Tree) -> dict | None:
    """Draw a reading, but for perched water: where nobody met any, no log can hint at it."""
    which = [index for index, one in enumerate(readings_of(tree)) if one["reading"] != "perched"]
    return {"reading": rng.choice(which)} if which and tree["site"].get("setting") != "water" else None


def _draw_only_reading(_rng: Random, tree: Tree) -> dict | None:
    """Name the reading that a log has alone, where it does not tell of water under pressure or perched."""
    readings = readings_of(tree)
    plain_ = len(readings) == 1 and readings[0]["reading"] not in ("confined", "perched") and "response_zone" not in readings[0]
    return {"reading": 0} if plain_ and tree["site"].get("setting") != "water" else None


def _delete_reading(tree: Tree, reading: int) -> Tree:
    del readings_of(tree)[reading]
    return tree


SEASON_M = 1.0
"""Swing of a level that was read once (the limit water_season_m)."""


def _up_to_the_ground(tree: Tree, reading: int) -> Tree:
    """Lower a reading whose water may rise over the ground so far that it reaches the ground at most.

    A log without the reading points to no more: unread water under tight ground is taken up to the ground. How far artesian water
    rises is known from a reading or from nobody, so that the plan asks for it.
    """
    read = readings_of(tree)[reading]
    key = "rises_to" if "rises_to" in read else "depth"
    if read["reading"] in ("confined", "piezometer") and read.get(key) is not None:
        read[key] = max(read[key], SEASON_M)
    return tree


# ---- ground


def scaled(value: object, kind: str | None, factor: float) -> object:
    """Multiply a number, a range or low, likely and high."""
    if isinstance(value, dict):
        return {key: scaled(inner, kind, factor) for key, inner in value.items()}
    if isinstance(value, list):
        return [scaled(inner, kind, factor) for inner in value]
    return snapped(kind, value * factor)


def _draw_weaker(rng: Random, tree: Tree) -> dict | None:
    which = [index for index, layer in enumerate(layers_of(tree)) if "su" in layer]
    return {"layer": rng.choice(which), "factor": round(rng.uniform(0.3, 0.95), 2)} if which else None


def _weaken_clay(tree: Tree, layer: int, factor: float) -> Tree:
    layers_of(tree)[layer]["su"] = scaled(layers_of(tree)[layer]["su"], "stress", factor)
    return tree


def _draw_band(rng: Random, tree: Tree) -> dict | None:
    which = [(index, key) for index, layer in enumerate(layers_of(tree)) for key in BANDS if key in layer]
    if not which:
        return None
    layer, key = rng.choice(which)
    return {"layer": layer, "key": key, "share": round(rng.uniform(0.05, 0.6), 2)}


def _widen(tree: Tree, layer: int, key: str, share: float) -> Tree:
    value, kind = layers_of(tree)[layer][key], BANDS[key]
    ends = value if isinstance(value, list) else [value["low"], value["high"]] if isinstance(value, dict) else [value, value]
    low, high = snapped(kind, ends[0] * (1 - share)), snapped(kind, ends[1] * (1 + share))
    high = high if kind or key in ("pi", "d10") else min(high, 100.0)
    likely = value.get("likely") if isinstance(value, dict) else value if isinstance(value, (int, float)) else None
    layers_of(tree)[layer][key] = [low, high] if likely is None else {"low": low, "likely": likely, "high": high}
    return tree


def _draw_absent(rng: Random, tree: Tree) -> dict | None:
    which = [(index, word) for index, layer in enumerate(layers_of(tree)) for word in layer.get("absent", ())]
    return dict(zip(("layer", "word"), rng.choice(which), strict=True)) if which else None


def _leave_out(tree: Tree, layer: int, word: str) -> Tree:
    layers_of(tree)[layer]["absent"] = [one for one in layers_of(tree)[layer]["absent"] if one != word]
    return tree


def _draw_split(rng: Random, tree: Tree) -> dict:
    layers = layers_of(tree)
    layer = rng.randrange(len(layers))
    top, base = layers[layer]["top"], layers[layer]["base"]
    return {"layer": layer, "at": round(top + rng.uniform(0.1, 0.9) * (base - top), 2)}


def _split_layer(tree: Tree, layer: int, at: float) -> Tree:
    whole = layers_of(tree)[layer]
    layers_of(tree)[layer : layer + 1] = [whole | {"base": at}, whole | {"top": at}]
    return tree


def _draw_key(key: str) -> Callable[[Random, Tree], dict | None]:
    def draw(rng: Random, tree: Tree) -> dict | None:
        which = [index for index, layer in enumerate(layers_of(tree)) if key in layer]
        return {"layer": rng.choice(which)} if which else None

    return draw


def _delete_strength(tree: Tree, layer: int) -> Tree:
    del layers_of(tree)[layer]["su"]
    return tree


def _draw_tested(rng: Random, tree: Tree) -> dict | None:
    tests = tree["borings"][0].get("spt", [])
    return {"test": rng.randrange(len(tests))} if tests else None


def _delete_test(tree: Tree, test: int) -> Tree:
    del tree["borings"][0]["spt"][test]
    return tree


def _draw_sign(rng: Random, tree: Tree) -> dict | None:
    """Draw something that the log alone tells of: a remark, where the hole fell in, a feature, a seam."""
    boring = tree["borings"][0]
    which = [("remarks", index) for index in range(len(boring.get("remarks", ())))]
    which += [("cave_in_depth", 0)] if "cave_in_depth" in boring else []
    which += [(key, index) for index, layer in enumerate(layers_of(tree)) for key in ("features", "seams") if key in layer]
    return dict(zip(("kind", "number"), rng.choice(which), strict=True)) if which else None


def _delete_sign(tree: Tree, kind: str, number: int) -> Tree:
    boring = tree["borings"][0]
    if kind == "remarks":
        del boring["remarks"][number]
    elif kind == "cave_in_depth":
        del boring["cave_in_depth"]
    else:
        del layers_of(tree)[number][kind]
    return tree


# ---- form


def _draw_order(rng: Random, _tree: Tree) -> dict:
    return {"order": rng.randrange(10**6)}


def _permute(tree: Tree, order: int) -> Tree:
    """Write keys, readings, tests, cores and features in another order; remarks are quoted as they stand."""
    rng = Random(order)  # noqa: S311 (no secret)

    def mixed(value: object, parent: str = "") -> object:
        if isinstance(value, dict):
            keys = [key for key in value if key != "methodpick"]
            rng.shuffle(keys)
            return {key: mixed(value[key], key) for key in [*(["methodpick"] if "methodpick" in value else []), *keys]}
        if isinstance(value, list):
            found = [mixed(inner) for inner in value]
            if parent in ("water", "spt", "cores", "neighbours", "features", "absent"):
                rng.shuffle(found)
            return found
        return value

    return mixed(tree)


def _shuffle_layers(tree: Tree, order: int) -> Tree:
    Random(order).shuffle(layers_of(tree))  # noqa: S311 (no secret)
    return tree


def _draw_shift(rng: Random, tree: Tree) -> dict | None:
    return {"by": round(rng.uniform(-80, 400), 2)} if "ground_elevation" in tree["borings"][0] else None


def _shift(tree: Tree, by: float) -> Tree:
    places = [tree["borings"][0], *tree["shafts"], tree["site"].get("drilling_grade", {}), tree["site"]]
    for place in places:
        for key in ("ground_elevation", "elevation", "mudline_low", "mudline_high"):
            if key in place:
                place[key] = round(place[key] + by, 3)
    return tree


def _unchanged(tree: Tree, **_: object) -> Tree:
    return tree


RELATIONS = {
    relation.name: relation
    for relation in (
        Relation("raise_water", _draw_rise, _raise_water, dry_better),
        Relation("raise_water_under_fluid", _draw_rise, _raise_water, fluid_better),
        Relation("add_reading", _draw_reading, _add_reading, dry_better),
        Relation("add_reading_under_fluid", _draw_reading, _add_reading, fluid_better),
        Relation("weaken_clay", _draw_weaker, _weaken_clay, any_better, detail="full"),
        Relation("widen", _draw_band, _widen, any_better, detail="full"),
        Relation("leave_out", _draw_absent, _leave_out, any_better, detail="full"),
        Relation("no_assumptions", _nothing, _unchanged, any_better, assumptions=False),
        Relation("delete_only_reading", _draw_only_reading, _delete_reading, any_better),
        Relation("delete_reading", _draw_any_reading, _delete_reading, better_for_want_of_water, measure=_up_to_the_ground),
        Relation("delete_strength", _draw_key("su"), _delete_strength, better_for_want_of_strength, detail="full"),
        Relation("delete_test", _draw_tested, _delete_test, firmly_better),
        Relation("delete_sign", _draw_sign, _delete_sign, firmly_better),
        Relation("split_layer", _draw_split, _split_layer, same_but_for_the_log),
        Relation("permute_keys", _draw_order, _permute, same),
        Relation("shuffle_layers", _draw_order, _shuffle_layers, same_but_for_doubts),
        Relation("us_units", _nothing, _unchanged, same_to_rounding, units="us"),
        Relation("shift_elevations", _draw_shift, _shift, same_but_for_elevations),
    )
}
