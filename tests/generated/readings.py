"""Water as logs give it: not read, none met, while drilling, settled, confined, perched, by a piezometer, or only the drilling fluid."""

from borings import Bed
from draws import Draws

KINDS = ("none read", "settled", "while drilling", "none met", "both", "confined", "perched", "piezometer", "drilling fluid", "settled")


def water_of(draws: Draws, beds: list[Bed], ground: str, water_depth_m: float | None) -> tuple[str, list[dict]]:
    """Draw the kind of water record and give its readings. Artesian ground has its pressure read; over open water the level is known."""
    if water_depth_m is not None:
        return "open water", [{"reading": "settled", "depth": -water_depth_m}] if draws.maybe(0.3) else []
    end_m, aquifer = beds[-1].base, _covered(beds)
    level = draws.length(0.6, max(1.5, min(14.0, 0.7 * end_m)))
    kind = "artesian" if ground.startswith("artesian") else draws.pick(KINDS)
    if kind in ("artesian", "confined") and aquifer is None:
        kind = "settled"
    if kind in ("artesian", "confined") and aquifer is not None:
        return kind, _under_pressure(draws, aquifer, level, artesian=kind == "artesian")
    return kind, _free(draws, kind, level, end_m, aquifer)


def _covered(beds: list[Bed]) -> Bed | None:
    """Give the first water-bearing bed under a tight one of a metre or more."""
    tight = 0.0
    for bed in beds:
        if bed.material.pervious and tight >= 1.0:
            return bed
        tight = 0.0 if bed.material.pervious else tight + bed.base - bed.top
    return None


def _under_pressure(draws: Draws, aquifer: Bed, level: float, *, artesian: bool) -> list[dict]:
    """Give water struck in an aquifer and risen; an artesian one to at most 5 m above the ground."""
    head = draws.length(-5.0, -0.2) if artesian and draws.maybe(0.7) else min(level, draws.round_length(0.7 * aquifer.top))
    strike: dict = {"reading": "confined", "struck": aquifer.top}
    if artesian or draws.maybe(0.8):
        strike["rises_to"] = head
    readings = [strike]
    if draws.maybe(0.3):
        readings = [_piezometer(aquifer, head)]
    if draws.maybe(0.3) and aquifer.top > 2:
        readings.insert(0, {"reading": "while_drilling", "depth": draws.length(0.5, 0.6 * aquifer.top)})
    return readings


def _piezometer(aquifer: Bed, head: float) -> dict:
    return {"reading": "piezometer", "depth": head, "response_zone": [aquifer.top, min(aquifer.base, round(aquifer.top + 2.0, 3))]}


def _free(draws: Draws, kind: str, level: float, end_m: float, aquifer: Bed | None) -> list[dict]:
    settled: dict = {"reading": "settled", "depth": level} | ({"after": 24} if draws.maybe(0.5) else {})
    met: dict = {"reading": "while_drilling", "depth": draws.round_length(min(end_m, level + draws.between((0.0, 3.0))))}
    if kind == "none met":
        return [{"reading": "none_met", "hole_depth": end_m}]
    if kind == "while drilling":
        return [met | ({"hole_depth": met["depth"]} if draws.maybe(0.5) else {})]
    if kind == "both":
        return [met, settled]
    if kind == "perched":
        return [{"reading": "perched", "depth": draws.length(0.5, 3.0)}] + ([settled] if draws.maybe(0.5) else [])
    if kind == "piezometer":
        if aquifer is not None and draws.maybe(0.5):
            return [_piezometer(aquifer, level)]
        return [{"reading": "piezometer", "depth": level}]
    if kind == "drilling fluid":
        return [{"reading": "drilling_fluid", "depth": draws.length(0.2, 3.0)}]
    return [settled] if kind == "settled" else []
