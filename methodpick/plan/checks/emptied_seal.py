"""The seal of an emptied casing: what stands under the shoe, how far it is pushed into it, and how strong and whole it is.

Granular ground and silt without plasticity never seal below water, whatever the length: seepage at half a metre of head a metre
already carries grains. Clay seals where the shoe was forced far enough beyond the predrilled hole into unfissured clay. Rock may
seal; that is known when the casing has been bailed. The base of the emptied hole has proofs of its own.
"""

from __future__ import annotations

from collections.abc import Mapping

from methodpick.mechanics.emptied_hole import seat_from, seat_length
from methodpick.plan.checks.definition import Definition
from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.checks.proof import Comparison, InputWords
from methodpick.plan.checks.record import SEAL_ASKS, Heading, Wording, at_worst, for_words, write_comparison, write_condition
from methodpick.plan.result.checks import Check
from methodpick.records import record
from methodpick.terms import GRANULAR, ROCK_LIKE
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.values import YES, Choice, Span, Value, point

NOT_EMPTIED = "It is not emptied: no water presses through its seat."
"""What is said of the seat of a casing that stays full, of which no proof of its seal is asked."""
EMPTIED_SEAL_SOIL = Definition(
    "emptied-seal-soil",
    "Soil sealing a casing",
    ("cased_dry",),
    "Granular soil or silt without plasticity under the shoe is never a seal below water, at any length; a seal on rock is "
    "probable until the bail test.",
    life=True,
)
EMPTIED_SEAL_LENGTH = Definition(
    "emptied-seal-length",
    "Length of shoe in clay",
    ("cased_dry",),
    "The shoe is forced at least one metre or half a diameter beyond any predrilled hole into clay; a head of water may ask "
    "for more, within the layer.",
    life=True,
)
EMPTIED_SEAL_STRENGTH = Definition(
    "emptied-seal-strength", "Strength of clay at the shoe", ("cased_dry",), "Soft clay yields at the shoe and does not seal it.", life=True
)
EMPTIED_SEAL_WHOLE = Definition(
    "emptied-seal-whole",
    "Wholeness of clay at the shoe",
    ("cased_dry",),
    "Fissured, seamed, bouldery or thin clay, and clay that is not stiff, seals probably only: it is bailed in steps and watched.",
    life=True,
)
EMPTIED_SEAL_RISING = Definition(
    "emptied-seal-rising",
    "Reserve beside rising water",
    ("cased_dry",),
    "Beside water that may rise above the ground crews keep the head of fluid: a casing is emptied there only against advice, "
    "or behind clay with a reserve of length.",
)

NEVER_SEAL = (GRANULAR - {"silt"}) | {"organic", "void"}
"""Ground in which a shoe is never sealed below water; silt joins it where it is not plastic."""
CLAY_LIKE = frozenset({"clay", "silt"})
"""Ground in which length and strength make the seal; silt where it is plastic."""
SEAL_LIMITS = ("seal_seat_least_m", "seal_seat_diameters", "seat_gradient_clay")
"""What the rulebook asks of a seal in clay: a least length, a share of the diameter, and the head of water that a metre bears."""
RISING_REMEDY = "Keep the casing full over the water beside it and pour by tremie, or have its head lowered by wells with the engineer."
REFILL = "Bail in steps and watch the level; refill above the water outside at the first rise."


@record
class EmptiedSealFacts:
    """A shoe and the layer that it stands in.

    ``soil`` are the soil classes that the layer may be; ``plastic``, ``fissured``, ``seamed`` and ``bouldery`` are yes, no or open.
    ``undrilled_from_m`` is the depth from which the shoe was forced through undrilled ground: the base of the predrilled hole, or
    where the casing went ahead of the dig. ``water_level_m`` is the depth of the highest water that acts on the shoe from outside;
    None where none can stand over it. ``rising_level_m`` is that of water under pressure beside the casing that may rise above the
    ground, or above open water; None where none may.
    """

    place: ProvedPlace
    shoe_m: float
    undrilled_from_m: float
    outside_diameter_m: float
    layer_top_m: float
    layer_base_m: float
    soil: Choice
    plastic: Choice
    fissured: Choice
    seamed: Choice
    bouldery: Choice
    su_kpa: Span | None
    water_level_m: Span | None
    rising_level_m: Span | None = None


def check_emptied_seal(facts: EmptiedSealFacts, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """Return the proofs of the seal: the soil under the shoe, and for clay its length, strength and wholeness.

    Where no water can stand over the shoe nothing has to be sealed: the first proof says so, and no other follows.
    """
    checks = [_soil(facts)]
    if _level(facts).low < facts.shoe_m and facts.soil.values & CLAY_LIKE:
        checks += [
            for_words(proof, facts.soil, CLAY_LIKE, part(facts, limits))
            for proof, part in ((EMPTIED_SEAL_LENGTH, _length), (EMPTIED_SEAL_STRENGTH, _strength), (EMPTIED_SEAL_WHOLE, _whole))
        ]
    return (*checks, *_rising(facts, limits))


def seal_length(head_m: float, outside_diameter_m: float, limits: Mapping[str, float]) -> float:
    """Return the length in m that seals a shoe against a head of water over it; nothing is needed without one.

    >>> seal_length(12.0, 1.2, {"seal_seat_least_m": 1.0, "seal_seat_diameters": 0.5, "seat_gradient_clay": 6.0})
    2.0
    """
    least, diameters, gradient = (limits[name] for name in SEAL_LIMITS)
    return 0.0 if head_m <= 0.0 else seat_length(head_m, outside_diameter_m, gradient, least, diameters)


def seal_length_below(head_at_top_m: float, outside_diameter_m: float, limits: Mapping[str, float]) -> float:
    """Return the length in m that seals a shoe which is forced in where the head of water is known: every metre adds a metre of head.

    >>> seal_length_below(10.0, 1.2, {"seal_seat_least_m": 1.0, "seal_seat_diameters": 0.5, "seat_gradient_clay": 6.0})
    2.0
    """
    least, diameters, gradient = (limits[name] for name in SEAL_LIMITS)
    return seat_from(head_at_top_m, outside_diameter_m, gradient, least, diameters)


def _level(facts: EmptiedSealFacts) -> Span:
    """Return the level of the water outside; none stands as deep as the shoe."""
    return facts.water_level_m or Span(facts.shoe_m, facts.shoe_m, facts.shoe_m)


def _soil(facts: EmptiedSealFacts) -> Check:
    def broken(value: InputWords) -> bool:
        sealing = value["soil"] not in NEVER_SEAL and (value["soil"] != "silt" or value["plastic"] == YES)
        return float(value["water_level_m"]) < facts.shoe_m and not sealing

    inputs: dict[str, Value | None] = {"soil": facts.soil, "plastic": facts.plastic, "water_level_m": _level(facts)}
    check = write_condition(
        Heading(
            EMPTIED_SEAL_SOIL,
            facts.place,
            remedy="Set the shoe deeper, in clay or rock, or keep the casing full and pour by tremie.",
            question="What is the ground under the shoe, and is it plastic?",
        ),
        "the shoe stands in ground that can be sealed, or above the water",
        "the shoe stands in granular ground or silt below the water, which no length of casing seals",
        broken,
        inputs,
    )
    rock = write_condition(
        Heading(EMPTIED_SEAL_SOIL, facts.place, remedy=f"{REFILL} If it leaks, grout the shoe, or flood the hole and pour by tremie."),
        "the shoe is sealed without a test",
        "a seal on rock is probable until the casing has been bailed",
        lambda value: value["soil"] in ROCK_LIKE and float(value["water_level_m"]) < facts.shoe_m,
        inputs,
    )
    return check if check.result != "holds" or rock.result == "holds" else at_worst(rock, "open_range")


def _rising(facts: EmptiedSealFacts, limits: Mapping[str, Limit]) -> tuple[Check, ...]:
    """Return the proof of the reserve beside water that may rise above the ground; it advises and bars nothing.

    The rise asks for its reserve at its highest. Only clay has one: what seals on rock is known when the casing has been bailed.
    """
    rising = facts.rising_level_m
    if rising is None:
        return ()
    used = (limits["rising_seal_factor"], *(limits[name] for name in SEAL_LIMITS))
    heading = Heading(EMPTIED_SEAL_RISING, facts.place, limits=used, formula="seat_length", remedy=RISING_REMEDY)
    level = {"water_level_m": point(rising.low)}
    if facts.soil.likely not in CLAY_LIKE:
        asked = "no water that rises above the ground stands beside it", "it is emptied on rock beside water that may rise above the ground"
        return (at_worst(write_condition(heading, *asked, lambda _: True, level), "little_margin"),)
    length = facts.shoe_m - max(facts.undrilled_from_m, facts.layer_top_m)
    values = {name: limits[name].value for name in SEAL_LIMITS}

    def needed(value: Mapping[str, float]) -> float:
        return seal_length(facts.shoe_m - value["water_level_m"], facts.outside_diameter_m, values)

    check = write_comparison(
        heading,
        Wording("The length of the shoe in undrilled clay", SEAL_ASKS, "m", {"water_level_m": "the highest rise"}),
        Comparison(
            has=lambda _: length,
            needed=needed,
            recommended=lambda value: limits["rising_seal_factor"].value * needed(value),
            adverse={"water_level_m": "low"},
        ),
        level,
    )
    return (at_worst(check, "little_margin"),)


def _length(facts: EmptiedSealFacts, limits: Mapping[str, Limit]) -> Check:
    used = tuple(limits[name] for name in SEAL_LIMITS)
    values = {limit.name: limit.value for limit in used}
    length = facts.shoe_m - max(facts.undrilled_from_m, facts.layer_top_m)

    def needed(value: Mapping[str, float]) -> float:
        return seal_length(facts.shoe_m - value["water_level_m"], facts.outside_diameter_m, values)

    return write_comparison(
        Heading(
            EMPTIED_SEAL_LENGTH,
            facts.place,
            limits=used,
            formula="seat_length",
            remedy="Push or twist the shoe further into undrilled clay before the casing is emptied.",
        ),
        Wording("The length of the shoe in undrilled clay", SEAL_ASKS, "m", {"water_level_m": "the highest water outside"}),
        Comparison(has=lambda _: length, needed=needed, adverse={"water_level_m": "low"}),
        {"water_level_m": _level(facts)},
    )


def _strength(facts: EmptiedSealFacts, limits: Mapping[str, Limit]) -> Check:
    least = limits["seal_su_least_kpa"]
    return write_comparison(
        Heading(
            EMPTIED_SEAL_STRENGTH,
            facts.place,
            limits=(least,),
            remedy="Set the shoe deeper, in stiffer clay, or keep the casing full.",
            question="What is the undrained strength of the clay at the shoe?",
        ),
        Wording(
            "The strength of the clay at the shoe",
            "not to yield there it needs",
            "kPa",
            {"su_kpa": "the weakest clay", "water_level_m": "the highest water outside"},
        ),
        Comparison(
            has=lambda value: value["su_kpa"],
            needed=lambda value: least.value if value["water_level_m"] < facts.shoe_m else 0.0,
            adverse={"su_kpa": "low", "water_level_m": "low"},
        ),
        {"su_kpa": facts.su_kpa, "water_level_m": _level(facts)},
    )


def _whole(facts: EmptiedSealFacts, limits: Mapping[str, Limit]) -> Check:
    thick, stiff = limits["seal_layer_least_m"], limits["seal_su_kpa"]
    thin = facts.layer_base_m - facts.layer_top_m < thick.value

    def broken(value: InputWords) -> bool:
        torn = YES in {value["fissured"], value["seamed"], value["bouldery"]}
        return float(value["water_level_m"]) < facts.shoe_m and (torn or thin or float(value["su_kpa"]) < stiff.value)

    check = write_condition(
        Heading(
            EMPTIED_SEAL_WHOLE,
            facts.place,
            limits=(thick, stiff),
            remedy=REFILL,
            question="Is the clay at the shoe fissured, seamed or bouldery, and how strong is it?",
        ),
        "the clay at the shoe is stiff, thick and without fissures, seams or boulders",
        "the clay at the shoe is fissured, seamed, bouldery, thin or not stiff, so that its seal is probable only",
        broken,
        {
            "fissured": facts.fissured,
            "seamed": facts.seamed,
            "bouldery": facts.bouldery,
            "su_kpa": facts.su_kpa,
            "water_level_m": _level(facts),
        },
    )
    return at_worst(check, "open_range")
