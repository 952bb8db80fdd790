"""The forms that the decision and the stages of a plan may have, word for word, with places for numbers and for what the fields say.

A sentence of another form says something that no field answers for. What stands in the places is held against the fields by
:mod:`methodpick.review.sentence_laws`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from methodpick.patterns import pattern_of
from methodpick.plan.reasons.notes import NOT_BUILDABLE
from methodpick.plan.result import Stage
from methodpick.review.contradiction import Contradiction
from methodpick.terms import FLUID_NAMES, PUSHED, WAY_WORDS

N, COUNT = r"-?\d[\d,]*(?:\.\d+)?", r"\d+"
L, D = rf"{N} m", rf"{N} mm"
FLUID = "(?:" + "|".join(FLUID_NAMES.values()) + ")"
KIND = "(?:temporary|permanent)"
MEANS = "(?:" + "|".join(f"{words.means}|{words.manner.removeprefix('by ')}" for words in (*WAY_WORDS.values(), PUSHED)) + ")"
GRADE = rf"(?:{L} (?:above|below) )?the drilling grade"
GROUND = rf"(?:{L} (?:above|below) )?the ground"
INTO_GROUND = rf"; push or twist it from {L} into undrilled ground, then dig it out inside"
TOOL = rf"with the {D} (?:tool|core barrel)"
PULLED = "slowly and straight while the concrete still flows"
LIFT = (
    rf"Bring the concrete to {GROUND} before the lift(?: \(to {GROUND} at least\))?; it falls to {GROUND} as the shoe "
    rf"(?:comes out|comes up to {L})(?:; cavities in the wall can take {L} more)?\."
    rf"|Not safe as planned: the concrete would have to stand at {GROUND}, and the casing ends at {GROUND}\. Lengthen the casing, leave "
    r"it in, or lower the water outside; ask the engineer\."
    r"|The casing inside stays, so no concrete meets it; fill the gap as the engineer says\."
    r"|The shoe stands above the finished concrete: it comes out at any time\."
)
STAGE_FORMS: Mapping[str, str] = {
    "set_starter": (
        rf"Set casing 1, the starter, to {L}, {L} above the drilling grade(?:; below {L} shake or twist it in and dig inside, unless a "
        rf"hole drilled for it stands)?(?:; its hole is cored in the rock from {L})?(?:{INTO_GROUND})?\."
    ),
    "drill": (
        rf"(?:Drill|Core) dry from {L} to {L} {TOOL}(?: \(if the ground above goes on and no water comes\); else fill the hole to above "
        r"the water and go on with it full)?\."
        rf"|(?:Drill|Core) from {L} to {L}(?: \(if the ground above goes on\))? under {FLUID} {TOOL}; keep it at {GRADE} at all times\."
    ),
    "introduce_fluid": (
        rf"Fill the hole with {FLUID} to {GRADE} before drilling below {L}\."
        rf"|Bring in {FLUID} through a pipe at the base until the {FLUID} is out and the level stands at {GRADE}, before drilling below "
        rf"{L}; never lower the level meanwhile\."
    ),
    "advance_casing": (
        rf"(?:Advance casing {COUNT} from {L}|Lower casing {COUNT} to {L} in its hole and advance it)"
        rf"(?: \(the top dug out to {L} first\))? to {L} by {MEANS}(?: \(the last {L} pushed or twisted\))?, and dig inside with the {D} "
        rf"tool; (?:dig it dry, the shoe {N} diameters or more ahead of the dig, and stop and fill the casing if water shows"
        rf"|keep the shoe (?:with the dig|ahead of the dig and a plug of soil of {L} in it), and the level inside at or "
        r"above the water outside)\.(?: Where the log says nothing this holds if the ground above goes on\.)?"
    ),
    "set_casing": (
        rf"Set casing {COUNT}, {KIND} casing, {D} outside by {D} wall, from {L} above the drilling grade to {L}"
        rf"(?:{INTO_GROUND}(?: with the {D} tool)?)?\."
    ),
    "seal_test": (
        rf"Test the seal of casing {COUNT} at {L}: drop the level in steps; if it rises or soil enters, refill over the outside water, "
        r"go on under fluid\."
    ),
    "bail": rf"Bail casing {COUNT} once it holds, fluid at hand to refill it at once\.",
    "bell": (
        rf"Cut the bell with a belling tool from {L} to {L}, {D} wide at the base, and lift the cuttings out; "
        r"(?:under fluid only where the engineer agrees: neither its roof nor its base can be seen"
        r"|inspect its roof and base by camera from the surface)\."
    ),
    "clean": (
        r"Clean the base; inspect it from the surface, by light and camera\."
        r"|Clean the base under fluid \(bucket, airlift or pump\); test the fluid near the base and at mid-height until it meets the "
        r"limits\."
    ),
    "cage": rf"Lower the cage(?: in {COUNT} spliced pieces)?; check the base again\.",
    "refill": (r"Let the hole fill, or fill it with clean water to above the outside water level, so that no flow meets fresh concrete\."),
    "pour": (
        r"(?:Place concrete by free fall down the centre, clear of cage and wall; measure the water at the base just before\."
        r"|Let the soft concrete down by a drop pipe to just over the base, raised with it; measure the water at the base just before\."
        r"|Place concrete by tremie, from the base up, until it shows clean\.)"
        r"(?: Leave the starter, full, until the concrete has set: water outside stands higher over the cut-off than it would balance\.)?"
    ),
    "pull": (
        rf"Pull casing {COUNT}, {D} outside, {PULLED}(?:, in {COUNT} lifts with concrete added between them as the table of pulls says)?\. "
        rf"(?:{LIFT})"
    ),
    "remove_starter": (
        rf"Pull casing {COUNT}, the starter, {PULLED}(?:, in {COUNT} lifts with concrete added between them as the table of pulls says)?\. "
        rf"(?:{LIFT})"
    ),
}
"""What a stage may say, by its action."""
TO = rf"to {L}(?:, where the log ends, and on to {L} if its last layer goes on| if the last layer goes on)?"
PART = (
    rf"(?:(?:(?:[Bb]ail, then )?[Dd]rill dry|[Dd]rill under {FLUID}|[Ss]et {KIND} casing"
    rf"|[Aa]dvance {KIND} casing(?:, dug dry,| ahead of the dig| with the dig, kept full,) by {MEANS}) {TO}"
    r"(?: and seal it| and prove its seal)?)"
)
DECISION_FORM = (
    rf"(?:Not proven\. )?{PART}(?:, {PART})*; concrete (?:by tremie|in the dry)\."
    rf"(?: From {L} to {L}(?:(?:,| and) {L} to {L})* nothing is decided: the log says nothing there; priced as "
    r"(?:ground of which nothing is known|the ground above)\.)*"
    rf"(?: Below {L} nothing is decided: the log tells neither ground nor water there; ask for a deeper boring\.)?"
    rf"(?: This needs the platform raised by fill to {L} above the ground\.)?"
    rf"|From {L} down nothing is decided: the log says nothing of the ground\."
    rf"|{NOT_BUILDABLE}"
)
"""What the decision on a shaft, or the sentence of a rung, may say."""
_DECISION = pattern_of(DECISION_FORM)
_STAGES = {action: pattern_of(form) for action, form in STAGE_FORMS.items()}


def check_decision_form(sentence: str) -> Iterator[Contradiction]:
    """Return a decision that says what no decision says."""
    if _DECISION.fullmatch(sentence) is None:
        yield Contradiction("decision", f'"{sentence}"', "a sentence in the words of a decision")


def check_stage_form(action: str, text: str, stage: int) -> Iterator[Contradiction]:
    """Return the text of a stage that says what no stage of its action says."""
    form = _STAGES.get(action)
    if form is not None and form.fullmatch(text) is None:
        yield Contradiction("text", f'"{text}"', f"a sentence in the words of a stage '{action}'", stage)


_CASING_NO = pattern_of(r"\b(?:[Cc]asing) (\d+)")


def check_stage_facts(stage: Stage) -> Iterator[Contradiction]:
    """Return the facts of a stage that its text does not tell: its casing, a core barrel, a casing that is lowered first."""
    named = _CASING_NO.search(stage.text)
    casing_no = None if named is None else int(named[1])
    told = (("casing_no", casing_no), ("cored", stage.text.startswith("Core ")), ("lowered", stage.text.startswith("Lower casing ")))
    for name, right in told:
        if getattr(stage, name) != right:
            yield Contradiction(name, str(getattr(stage, name)), str(right), stage.no)


OF_A_STATE, NOT_LOGGED = ("derived", "support state"), ("missing", "not in the log")
"""Basis and origin of a fact that follows from the state of the hole, and of one that no log tells."""
