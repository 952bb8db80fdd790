"""A boring log of given ground: layers, tests, cores, and what the driller saw."""

from dataclasses import dataclass

from draws import Draws
from grounds import Layers
from materials import Material

DETAIL = ("usual", "full", "usual", "words", "symbols")
"""How much a log says: words, symbols and blow counts; laboratory tests too; words alone; symbols and counts without words."""
REFUSALS = {"us": ("50/5in", "50/4in", "50/3in", "50/2in"), "si": ("50/120mm", "50/100mm", "50/75mm", "50/50mm")}
TEST_STEP_M = {"us": 1.524, "si": 1.5}
"""Penetration tests are made every 5 ft or 1.5 m."""


@dataclass(frozen=True)
class Bed:
    """A material between two depths."""

    material: Material
    top: float
    base: float


def placed(draws: Draws, layers: Layers) -> list[Bed]:
    """Lay materials on each other from the ground down."""
    beds: list[Bed] = []
    for material, thickness in layers:
        top = beds[-1].base if beds else 0.0
        beds.append(Bed(material, top, draws.round_length(top + max(thickness, 0.6))))
    return beds


def cut_at(beds: list[Bed], end_m: float) -> list[Bed]:
    """End the beds at the depth of the boring; the last one goes on as deep as it must."""
    left = [bed for bed in beds if bed.top < end_m]
    return [*left[:-1], Bed(left[-1].material, left[-1].top, end_m)]


def technique(draws: Draws, beds: list[Bed]) -> str | None:
    """Draw the way of drilling that such ground is bored with; None where the log does not say."""
    if any(bed.material.ucs for bed in beds):
        return draws.pick((None, "hollow_stem_auger", "rotary", "core", "mud_rotary"))
    return draws.pick((None, "hollow_stem_auger", "solid_auger", "auger", "mud_rotary", "cable_percussion", "wash"))


def logged(draws: Draws, beds: list[Bed], detail: str) -> dict:
    """Give layers, tests and cores of the log."""
    layers = [_layer(draws, bed, detail) for bed in beds]
    tests = [] if detail == "words" else [test for bed in beds for test in _tests(draws, bed)]
    cores = [] if detail == "words" else [run for bed in beds for run in _cores(draws, bed)]
    return {"layers": layers} | ({"spt": tests} if tests else {}) | ({"cores": cores} if cores else {})


def _layer(draws: Draws, bed: Bed, detail: str) -> dict:
    material, layer = bed.material, {"top": bed.top, "base": bed.base}
    if detail != "symbols" or material.rock:
        layer["description"] = draws.pick(material.words)
    if detail == "words":
        return layer
    layer["symbol"] = draws.pick(material.symbols)
    origin = draws.pick(material.origins)
    if origin != "unknown":
        layer["origin"] = origin
    features = list(dict.fromkeys([*material.features, *draws.some(material.perhaps, 0.25)]))
    if features:
        layer["features"] = features
    if detail == "full":
        layer |= _laboratory(draws, material)
        absent = [name for name in material.absent if name not in features]
        if absent and draws.maybe(0.6):
            layer["absent"] = absent
    if material.seams and draws.maybe(0.12):
        layer["seams"] = [_seam(draws, material)]
    return layer


def _laboratory(draws: Draws, material: Material) -> dict:
    measures = (
        ("su", "stress", material.su, 0.3),
        ("unit_weight", "weight", material.weight, 0.0),
        ("ucs", "strength", material.ucs, 0.4),
        ("rqd", None, material.rqd, 0.1),
        ("fines", None, material.fines, 0.0),
        ("pi", None, material.pi, 0.0),
        ("d10", None, material.d10, 0.0),
    )
    return {key: draws.band(kind, ends, spread) for key, kind, ends, spread in measures if ends is not None and draws.maybe(0.6)}


def _seam(draws: Draws, material: Material) -> dict:
    seam: dict = {"material": draws.pick(material.seams), "thickness": float(10 * draws.rng.randint(2, 12))}
    if draws.maybe(0.5):
        seam["spacing"] = draws.length(0.5, 3)
    if draws.maybe(0.6):
        seam["wet"] = draws.maybe(0.7)
    return seam


def _tests(draws: Draws, bed: Bed) -> list[dict]:
    """Give the penetration tests of a bed: counts scatter about one value; rock and voids are not tested."""
    if bed.material.ucs or bed.material.n[1] == 0:
        return []
    middle, step, found = draws.between(bed.material.n), TEST_STEP_M[draws.units], []
    number = int(bed.top / step) + 1
    while (depth := round(number * step, 3)) < bed.base:
        found.append({"depth": depth} | _count(draws, middle * draws.between((0.75, 1.3))))
        number += 1 if depth < 15 else 2
    return found


def _count(draws: Draws, blows: float) -> dict:
    if blows > 50:
        return {"n": draws.pick(REFUSALS[draws.units])}
    whole = round(blows)
    if whole == 0 and draws.maybe(0.5):
        return {"n": "WOH"}
    return {"n": whole, "blows": [whole // 3, whole // 2, whole - whole // 2]} if draws.maybe(0.2) else {"n": whole}


def _cores(draws: Draws, bed: Bed) -> list[dict]:
    """Give core runs of 1.5 m, at most six, where the rock was cored."""
    if bed.material.rqd is None or not draws.maybe(0.6):
        return []
    runs, top = [], bed.top
    while top < bed.base - 0.3 and len(runs) < 6:
        rqd = round(draws.between(bed.material.rqd))
        runs.append(
            {"top": top, "base": min(bed.base, round(top + 1.5, 3)), "recovery": min(100, rqd + draws.rng.randint(5, 30)), "rqd": rqd}
        )
        top = runs[-1]["base"]
    return runs


def signs(draws: Draws, beds: list[Bed], way: str | None) -> dict:
    """Give what the driller saw: where the hole fell in, how deep it was cased, remarks."""
    found: dict = {}
    if draws.maybe(0.1):
        found["cave_in_depth"] = draws.length(0.2 * beds[-1].base, 0.95 * beds[-1].base)
    if way in ("rotary", "core", "cable_percussion") and draws.maybe(0.25):
        found["casing_depth"] = draws.length(0.1 * beds[-1].base, 0.6 * beds[-1].base)
    remarks = [_remark(draws, bed) for bed in beds if draws.maybe(0.12)]
    return found | ({"remarks": remarks} if remarks else {})


def _remark(draws: Draws, bed: Bed) -> dict:
    material = bed.material
    if material.rqd is not None and material.rqd[0] < 50:
        words = ("loss of flush return", "rods dropped 0.4 m, cavity", "slow drilling, joints open")
    elif "cobbles" in material.features:
        words = ("drill chatter on a boulder", "hard drilling, cobbles", "fluid lost into the ground")
    elif material.pervious:
        words = ("hole collapsing, water added", "sand rose inside the augers, blowing sand", "seepage into the hole", "no caving")
    else:
        words = ("no caving", "sides fell in", "slight seepage", "smell of gas")
    return {"depth": round(bed.top + 0.4 * (bed.base - bed.top), 2), "text": draws.pick(words)}
