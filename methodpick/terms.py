"""The words of the trade that several parts of the package share, each spelled once.

They are the values of enumerations in site files, facts, rules and plans. ``rules/facts.yaml`` declares the same words for the
rules, and a test holds both together. What only one module needs stays there.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from methodpick.records import record

UnitSystem = Literal["us", "si"]
"""Units of a reader: US customary, or SI."""

SoilClass = Literal[
    "clay", "silt", "silty_sand", "clean_sand", "silty_gravel", "clean_gravel", "cobbles", "organic", "intermediate", "weathered_rock",
    "rock", "void",
]  # fmt: skip
SOIL_CLASSES: tuple[SoilClass, ...] = (
    "clay", "silt", "silty_sand", "clean_sand", "silty_gravel", "clean_gravel", "cobbles", "organic", "intermediate", "weathered_rock",
    "rock", "void",
)  # fmt: skip
CLEAN_GRANULAR = frozenset({"clean_sand", "clean_gravel", "cobbles"})
"""Grains almost without fines: nothing but its friction holds such ground."""
GRANULAR = frozenset({"silt", "silty_sand", "silty_gravel"}) | CLEAN_GRANULAR
"""Ground without cohesion of its own; silt counts here, since water moves in it and it flows."""
GRAVEL = frozenset({"silty_gravel", "clean_gravel", "cobbles"})
"""Gravel, clean or not, and cobbles: what may be openwork."""
COHESIVE = frozenset({"clay", "organic"})
"""Ground whose undrained strength governs the wall."""
ROCK = frozenset({"rock", "weathered_rock"})
ROCK_LIKE = ROCK | {"intermediate"}
"""Ground that a log calls rock, or that is between soil and rock."""
TIGHT = COHESIVE | {"intermediate"}
"""Ground that parts two aquifers where it is thick enough."""
SLOW_DRAINING = TIGHT | {"silt"}
"""Ground in which a water level settles slowly and whose strength words are those of clay."""

SOIL_NAMES: dict[str, str] = {"silty_sand": "sand with fines", "silty_gravel": "gravel with fines"}
"""How a page names the classes that hold clayey soil (SC, GC) as well as silty: the headings of ASTM D2487, from memory."""


def in_plain_words(word: str) -> str:
    """Return how a page names a value of an enumeration.

    >>> in_plain_words("silty_sand"), in_plain_words("medium_dense")
    ('sand with fines', 'medium dense')
    """
    return SOIL_NAMES.get(word) or word.replace("_", " ")


Consistency = Literal["very_soft", "soft", "firm", "stiff", "very_stiff", "hard"]
CONSISTENCIES: tuple[Consistency, ...] = ("very_soft", "soft", "firm", "stiff", "very_stiff", "hard")
"""Of cohesive soil, weakest first; firm is what US logs call medium stiff."""
Density = Literal["very_loose", "loose", "medium_dense", "dense", "very_dense"]
DENSITIES: tuple[Density, ...] = ("very_loose", "loose", "medium_dense", "dense", "very_dense")
"""Of granular soil, loosest first."""
SETTLING_GROUND = CLEAN_GRANULAR | {"silty_gravel"}
"""Ground whose grains settle out of the fluid."""
STAND_UP_CLASSES = ("none", "minutes", "hour", "shift", "days")
"""How long an open wall stands, shortest first."""

Fluid = Literal["water", "polymer", "mineral"]
FLUIDS: tuple[Fluid, ...] = ("water", "polymer", "mineral")
"""Support fluids of an open hole."""
FLUID_NAMES: dict[str, str] = {"water": "water", "polymer": "polymer fluid", "mineral": "mineral slurry"}
"""How a page names a fluid."""
State = Literal["dry", "water", "polymer", "mineral", "cased_dry", "cased_balanced", "cased_plug"]
OPEN_STATES: tuple[State, ...] = ("dry", *FLUIDS)
CASED_STATES: tuple[State, ...] = ("cased_dry", "cased_balanced", "cased_plug")
STATES: tuple[State, ...] = (*OPEN_STATES, *CASED_STATES)
"""Support states while drilling: an open hole dry or under fluid; inside casing emptied, kept full, or with a soil plug."""
STATE_NAMES: dict[str, str] = {
    "dry": "dry",
    "water": "under water",
    "polymer": "under polymer",
    "mineral": "under mineral slurry",
    "cased_dry": "cased, emptied",
    "cased_balanced": "cased, kept full",
    "cased_plug": "casing ahead of the dig",
}
"""How a page names a state of the hole."""

Method = Literal["dry", "slurry", "temporary_casing", "permanent_casing"]
METHODS: tuple[Method, ...] = ("dry", "slurry", "temporary_casing", "permanent_casing")
"""Methods that a specification may leave open, and what may hold a length when the tip is reached."""
SUPPORT_NAMES: dict[str, str] = {
    "dry": "dry",
    "slurry": "slurry",
    "temporary_casing": "temporary casing",
    "permanent_casing": "permanent casing",
    "undecided": "undecided",
    "combination": "combination",
}
"""How a page names a support or a method."""

CasingKind = Literal["starter", "temporary", "permanent"]
CASING_KINDS: tuple[CasingKind, ...] = ("starter", "temporary", "permanent")
STARTER: CasingKind = "starter"
"""The short casing at the top of every hole: it guides the tool, holds loose ground and the fluid level, and guards the edge."""

SHAFTS_SHARING = "shafts"
"""The input of a change of the plan that is the number of shafts on the site, which share the plant."""

CasingWay = Literal["twisted", "vibrated", "driven", "oscillated"]
CASING_WAYS: tuple[CasingWay, ...] = ("twisted", "vibrated", "driven", "oscillated")
"""Ways of bringing a casing down ahead of the excavation."""
SHAKING_WAYS = frozenset({"vibrated", "driven"})
"""Ways that shake the ground and what stands near."""
TurningPlant = Literal["oscillator", "rotator", "oscillator or rotator"]
EITHER_TURNS: TurningPlant = "oscillator or rotator"
"""What turns segmental casing where nobody has said which of the two is at hand, or both are."""


@record
class WayWords:
    """The words of a way: "advance temporary casing ``manner``", "advance the casing by ``means``", a casing that is ``installed``."""

    manner: str
    means: str
    installed: str


TURNED_WORDS: Mapping[TurningPlant, WayWords] = {
    "oscillator": WayWords("by oscillator", "the oscillator", "oscillated in"),
    "rotator": WayWords("by rotator", "the rotator", "rotated in"),
    EITHER_TURNS: WayWords("by oscillator or rotator", "the oscillator or rotator", "oscillated or rotated in"),
}
WAY_WORDS: Mapping[CasingWay, WayWords] = {
    "twisted": WayWords("by twisting", "twisting", "twisted in by the rig"),
    "vibrated": WayWords("by vibration", "vibration", "vibrated in"),
    "driven": WayWords("by driving", "driving", "driven"),
    "oscillated": TURNED_WORDS[EITHER_TURNS],
}
PUSHED = WayWords("by pushing", "pushing", "pushed in")
"""Where no way is named."""


def words_of_way(way: str | None, turned_by: TurningPlant = EITHER_TURNS) -> WayWords:
    """Return the words of a way of advancing casing, those of pushing where none is named; of turning, by the plant that is at hand.

    >>> words_of_way("vibrated").means, words_of_way(None).manner, words_of_way("oscillated", "oscillator").manner
    ('vibration', 'by pushing', 'by oscillator')
    """
    if way == "oscillated":
        return TURNED_WORDS[turned_by]
    return next((words for known, words in WAY_WORDS.items() if known == way), PUSHED)


def how_installed(*, starter: bool, way: str | None, pushed: bool, turned_by: TurningPlant = EITHER_TURNS) -> str:
    """Return how a casing comes in: ahead of the excavation by a way, else into a hole, ``pushed`` over its last length.

    >>> how_installed(starter=False, way=None, pushed=True)
    'set in the drilled hole, the last length pushed or twisted in'
    """
    if not starter and way is not None:
        return f"{words_of_way(way, turned_by).installed} ahead of the excavation"
    last = ", the last length pushed or twisted in" if pushed else ", pushed or shaken in" if starter else ""
    return ("set in a predrilled hole" if starter else "set in the drilled hole") + last


Severity = Literal["note", "caution", "danger"]
SEVERITIES: tuple[Severity, ...] = ("danger", "caution", "note")
"""Of a caution, gravest first."""
CautionReach = Literal["every_shaft", "method", "here"]
"""Where a caution comes from: it holds at every drilled shaft, with the method, or by the ground, the site or the work planned here."""
VerdictWord = Literal["allowed", "discouraged", "doubtful", "unknown", "unlikely", "ruled_out"]
VERDICTS: tuple[VerdictWord, ...] = ("allowed", "discouraged", "doubtful", "unknown", "unlikely", "ruled_out")
"""Of a support state in a slice, best first."""
Confidence = Literal["read", "digest", "secondary", "memory", "own"]
CONFIDENCES: tuple[Confidence, ...] = ("read", "digest", "secondary", "memory", "own")
"""How well a number is known, best first: read in print, in a digest, quoted by another source, from memory, our own."""
CONFIDENCE_WORDS: Mapping[str, str] = {
    "read": "read in print",
    "digest": "read in a digest",
    "secondary": "quoted by another source",
    "memory": "from memory",
    "own": "own value",
}
NOT_IN_LOG = "not in the log"
"""Where a fact comes from that no log tells."""
NO_DATA_REASON = "no-data"
"""What stands in place of a rule where the log names no ground."""
