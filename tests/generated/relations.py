"""Changes of a site whose effect on the plan is known beforehand: what must stay the same, and what must not get better.

A relation draws the particulars of a change (plain values, so that a counterexample can be written down), makes the changed site from
a site and particulars, and judges the two plans. A site where the change does not apply gives no particulars.
"""

from collections.abc import Callable
from copy import deepcopy
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from random import Random

from compare import differences, plain
from file_units import in_units, snapped
from sites import text_of

from methodpick.engine.load import load_rulebook
from methodpick.imports.site_file import read_site
from methodpick.plan.pipeline import plan
from methodpick.resources import folder

OPEN_STATES = ("dry", "water", "polymer", "mineral")
GRADE = {"allowed": 0, "discouraged": 1, "doubtful": 2, "unknown": 3, "unlikely": 3, "ruled_out": 3}
"""How far a verdict lets a state be used: firmly, against advice, in the expected plan only, for want of a better one or not at all."""
SLIVER_M = 0.05
"""Slices are cut to 2 cm; a verdict may trade places within a length that no driller can tell from its neighbour."""
BANDS = {"su": "stress", "unit_weight": "weight", "ucs": "strength", "fines": None, "pi": None, "d10": None, "rqd": None}
LEVELS = ("settled", "while_drilling", "confined", "piezometer", "perched", "end_of_drilling")

Tree = dict
Found = list[str]


@cache
def rulebook():
    return load_rulebook(folder("rules"))


def planned(tree: Tree, units: str = "si", *, assumptions: bool = True):
    """Plan the only shaft of a tree, read from a file of that unit system."""
    site, _ = read_site(text_of(in_units(tree, units)), "generated.yaml")
    return plan(site, rulebook(), assumptions=assumptions).shafts[0]


# ---- judging


@dataclass(frozen=True)
class Freer:
    """A length where a state may be used more freely, its verdict before and after, and the rules behind the first."""

    top: float
    base: float
    state: str
    before: str
    after: str
    rules: tuple[str, ...]

    def __str__(self) -> str:
        return f"{self.state} from {self.top:.3f} to {self.base:.3f} m: {self.before} ({', '.join(self.rules)}), then {self.after}"


def better(before, after, states: tuple[str, ...] = OPEN_STATES) -> list[Freer]:
    """Name the lengths where a state may be used more freely after the change than before it."""
    tip = min(before.tip_depth_m, after.tip_depth_m)
    ends = sorted({one.top_m for plan_ in (before, after) for one in plan_.intervals} | {tip})
    found = []
    for top, base in pairwise(ends):
        if base - top >= SLIVER_M:
            first, last = (_at(one, (top + base) / 2).verdicts for one in (before, after))
            freer = [state for state in states if GRADE[last[state].state] < GRADE[first[state].state]]
            found += [Freer(top, base, state, first[state].state, last[state].state, first[state].rules) for state in freer]
    return found


def _at(shaft, depth_m: float):
    return next(one for one in shaft.intervals if one.top_m <= depth_m <= one.base_m)


def dry_better(before, after) -> Found:
    """Name the lengths where the dry hole may be used more freely."""
    return [str(one) for one in better(before, after, ("dry",))]


def fluid_better(before, after) -> Found:
    """Name the lengths where a hole under fluid may be used more freely."""
    return [str(one) for one in better(before, after, OPEN_STATES[1:])]


def any_better(before, after) -> Found:
    """Name the lengths where an open hole may be used more freely."""
    return [str(one) for one in better(before, after)]


def firmly_better(before, after, about: tuple[str, ...] = ()) -> Found:
    """Name the lengths that stand firm in a state that the deleted entry spoke against, and those that nobody asks about."""
    freer = better(before, after)
    asked = not about or any(word in f"{gap.need} {gap.question}".lower() for gap in after.gaps for word in about)
    found = []
    for one in freer:
        here = _at(after, (one.top + one.base) / 2)
        if one.state in (here.drilled_in, here.fluid, *here.later_in) and here.confidence == "firm":
            found.append(f"{one}; the length is firm")
    return found + ([] if asked or not freer else [f"{freer[0]}; no question about {' or '.join(about)}"])


def better_for_want_of_water(before, after) -> Found:
    """Name the lengths that stand firm without a reading that spoke against it, and those where the water is not asked for."""
    return firmly_better(before, after, ("water", "aquifer"))


def better_for_want_of_strength(before, after) -> Found:
    """Name the lengths that stand firm without a strength that spoke against it, and those where the strength is not asked for."""
    return firmly_better(before, after, ("strength",))


def otherwise(before, after, *, tolerance: float = 0.0, apart: tuple[str, ...] = ()) -> Found:
    """Name the places where two plans differ, some parts of the record set apart."""
    first, last = ({name: value for name, value in plain(one).items() if name not in apart} for one in (before, after))
    return list(differences(first, last, tolerance))


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

    def violations(self, tree: Tree, particulars: dict) -> Found:
        """Plan the site and the changed one; name what the change may not do."""
        changed = self.make(deepcopy(tree), **particulars)
        return self.judge(planned(tree), planned(changed, self.units, assumptions=self.assumptions))


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
    tree["borings"][0]["water"] = [raised(one, by) for one in readings_of(tree)]
    return tree


def _draw_reading(rng: Random, tree: Tree) -> dict | None:
    which = [index for index, one in enumerate(readings_of(tree)) if one["reading"] in LEVELS]
    if not which or tree["site"].get("setting") == "water":
        return None
    return {"reading": rng.choice(which), "by": round(rng.uniform(0.2, 5), 2)}


def _add_reading(tree: Tree, reading: int, by: float) -> Tree:
    readings_of(tree).append(raised(readings_of(tree)[reading], by))
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
    """Write the keys of every map, and the entries of the lists of a boring, in another order."""
    rng = Random(order)  # noqa: S311 (no secret)

    def mixed(value: object, parent: str = "") -> object:
        if isinstance(value, dict):
            keys = [key for key in value if key != "methodpick"]
            rng.shuffle(keys)
            return {key: mixed(value[key], key) for key in [*(["methodpick"] if "methodpick" in value else []), *keys]}
        if isinstance(value, list):
            found = [mixed(inner) for inner in value]
            if parent in ("water", "spt", "cores", "remarks", "neighbours", "features", "absent"):
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


def same(before, after) -> Found:
    """Name every place where the plans differ."""
    return otherwise(before, after)


def same_to_rounding(before, after) -> Found:
    """Name the places where the plans differ by more than numbers of another unit system do."""
    return otherwise(before, after, tolerance=1e-6)


def same_but_for_elevations(before, after) -> Found:
    """Name the places where the plans differ, the elevation of the ground apart."""
    return [one for one in same_to_rounding(before, after) if not one.startswith(".ground.ground_elevation_m")]


def same_but_for_the_log(before, after) -> Found:
    """Name the places where the plans differ, what they repeat of the log apart."""
    return otherwise(before, after, tolerance=1e-6, apart=("ground",))


def same_but_for_doubts(before, after) -> Found:
    """Name the places where the plans differ, the doubts about the log apart."""
    return otherwise(before, after, apart=("doubts",))


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
        Relation("delete_reading", _draw_any_reading, _delete_reading, better_for_want_of_water),
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
