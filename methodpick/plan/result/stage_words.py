"""What the stages of the work say, from their numbers: written once, for who plans them and for who verifies a written plan."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from methodpick.records import record
from methodpick.terms import FLUID_NAMES, WayWords
from methodpick.unit_markup import height_words, mark

ABOVE_GRADE = "above the drilling grade"
IF_IT_GOES_ON = "if the ground above goes on"

# ---- from the starter to the tip


def _pushed(from_m: float | None) -> str:
    """Return how a casing is brought down over its last length, nothing where it stands in the hole that was drilled for it."""
    return "" if from_m is None else f"; push or twist it from {mark(from_m, 'm')} into undrilled ground, then dig it out inside"


def set_starter(
    number: int,
    base_m: float,
    above_grade_m: float,
    *,
    shaken_from_m: float | None,
    cored_from_m: float | None,
    pushed_from_m: float | None,
) -> str:
    """Return the setting of the starter; None where no length of it is shaken in, cored for or pushed."""
    shaken = "" if shaken_from_m is None else f"; below {mark(shaken_from_m, 'm')} shake or twist it in and dig inside, unless a hole "
    shaken += "" if shaken_from_m is None else "drilled for it stands"
    cored = "" if cored_from_m is None else f"; its hole is cored in the rock from {mark(cored_from_m, 'm')}"
    where = f"to {mark(base_m, 'm')}, {mark(above_grade_m, 'm')} {ABOVE_GRADE}"
    return f"Set casing {number}, the starter, {where}{shaken}{cored}{_pushed(pushed_from_m)}."


@record
class Drilled:
    """A length that is drilled with one tool; ``logged`` says that a log tells of its ground, ``cored`` that it is cored."""

    top_m: float
    base_m: float
    tool_m: float
    cored: bool
    logged: bool

    @property
    def _verb(self) -> str:
        return "Core" if self.cored else "Drill"

    @property
    def _tool(self) -> str:
        return f"with the {mark(self.tool_m, 'size')} {'core barrel' if self.cored else 'tool'}"

    @property
    def _ends(self) -> str:
        return f"from {mark(self.top_m, 'm')} to {mark(self.base_m, 'm')}"

    def dry(self) -> str:
        """Return the drilling of the length in a dry hole."""
        full = "else fill the hole to above the water and go on with it full"
        unlogged = "" if self.logged else f" ({IF_IT_GOES_ON} and no water comes); {full}"
        return f"{self._verb} dry {self._ends} {self._tool}{unlogged}."

    def under(self, fluid: str, below_grade_m: float) -> str:
        """Return the drilling of the length under a fluid, its level so far below the drilling grade, above it where negative."""
        unlogged = "" if self.logged else f" ({IF_IT_GOES_ON})"
        keep = f"keep it at {_at_grade(below_grade_m)} at all times"
        return f"{self._verb} {self._ends}{unlogged} under {FLUID_NAMES[fluid]} {self._tool}; {keep}."


def _at_grade(below_m: float) -> str:
    return height_words(below_m, "the drilling grade")


def bring_in(fluid: str, below_grade_m: float, from_m: float, *, instead_of: str | None) -> str:
    """Return the filling of the hole with a fluid before it is drilled below a depth, or the exchange of another for it."""
    level, words = _at_grade(below_grade_m), FLUID_NAMES[fluid]
    if instead_of is None:
        return f"Fill the hole with {words} to {level} before drilling below {mark(from_m, 'm')}."
    return (
        f"Bring in {words} through a pipe at the base until the {FLUID_NAMES[instead_of]} is out and the level stands at {level}, before "
        f"drilling below {mark(from_m, 'm')}; never lower the level meanwhile."
    )


@record
class Advanced:
    """A length over which a casing goes down with the dig inside it, by a way.

    ``lowered`` where it is first let down in a hole drilled for it, ``dug_m`` to where its top is dug out first, ``pushed_m`` the length
    over the shoe that no hammer drives. It is dug dry with the shoe so many diameters ahead, with a plug so long, or the shoe with the dig.
    """

    number: int
    top_m: float
    base_m: float
    way: WayWords
    tool_m: float
    dig: Literal["dry", "plug", "with_shoe"]
    ahead: float = 0.0
    lowered: bool = False
    dug_m: float | None = None
    pushed_m: float | None = None
    logged: bool = True

    @property
    def words(self) -> str:
        """Return the sentence of the stage."""
        top, base = mark(self.top_m, "m"), mark(self.base_m, "m")
        goes = f"Advance casing {self.number} from {top}"
        if self.lowered:
            goes = f"Lower casing {self.number} to {top} in its hole and advance it"
        goes += "" if self.dug_m is None else f" (the top dug out to {mark(self.dug_m, 'm')} first)"
        push = "" if self.pushed_m is None else f" (the last {mark(self.pushed_m, 'm')} pushed or twisted)"
        open_end = "" if self.logged else f" Where the log says nothing this holds {IF_IT_GOES_ON}."
        inside = f"dig inside with the {mark(self.tool_m, 'size')} tool; {self._kept}"
        return f"{goes} to {base} by {self.way.means}{push}, and {inside}.{open_end}"

    @property
    def _kept(self) -> str:
        """Return how the shoe leads the dig, and the level inside."""
        if self.dig == "dry":
            lead = f"the shoe {mark(self.ahead, '1')} diameters or more ahead of the dig"
            return f"dig it dry, {lead}, and stop and fill the casing if water shows"
        keep = "keep the shoe with the dig"
        if self.dig == "plug":
            keep = f"keep the shoe ahead of the dig and a plug of soil of {mark(self.ahead, 'm')} in it"
        return f"{keep}, and the level inside at or above the water outside"


def set_casing(
    number: int, kind: str, size_m: tuple[float, float], ends_m: tuple[float, float], *, pushed_from_m: float | None, tool_m: float | None
) -> str:
    """Return the setting of a casing in the drilled hole: outside and wall, from so far above the drilling grade to its shoe."""
    outside, wall = mark(size_m[0], "size"), mark(size_m[1], "wall")
    tool = "" if tool_m is None or pushed_from_m is None else f" with the {mark(tool_m, 'size')} tool"
    where = f"from {mark(ends_m[0], 'm')} {ABOVE_GRADE} to {mark(ends_m[1], 'm')}"
    return f"Set casing {number}, {kind} casing, {outside} outside by {wall} wall, {where}{_pushed(pushed_from_m)}{tool}."


def seal_test(number: int, shoe_m: float) -> str:
    """Return the test of the seal of a casing."""
    return (
        f"Test the seal of casing {number} at {mark(shoe_m, 'm')}: drop the level in steps; if it rises or soil enters, refill over the "
        "outside water, go on under fluid."
    )


def bail(number: int) -> str:
    """Return the bailing of a casing."""
    return f"Bail casing {number} once it holds, fluid at hand to refill it at once."


# ---- from the tip to the last casing pulled


def cut_bell(top_m: float, base_m: float, diameter_m: float, *, full: bool) -> str:
    """Return the cutting of a bell in a hole that is full of fluid or empty."""
    wide = f"from {mark(top_m, 'm')} to {mark(base_m, 'm')}, {mark(diameter_m, 'size')} wide at the base"
    seen = "inspect its roof and base by camera from the surface"
    if full:
        seen = "under fluid only where the engineer agrees: neither its roof nor its base can be seen"
    return f"Cut the bell with a belling tool {wide}, and lift the cuttings out; {seen}."


def clean(*, full: bool) -> str:
    """Return the cleaning of the base of a hole that is full of fluid or empty."""
    if not full:
        return "Clean the base; inspect it from the surface, by light and camera."
    return "Clean the base under fluid (bucket, airlift or pump); test the fluid near the base and at mid-height until it meets the limits."


def lower_cage(pieces: int) -> str:
    """Return the setting of the cage."""
    spliced = f" in {pieces} spliced pieces" if pieces > 1 else ""
    return f"Lower the cage{spliced}; check the base again."


REFILL = "Let the hole fill, or fill it with clean water to above the outside water level, so that no flow meets fresh concrete."
"""Before concrete is placed wet in an empty hole."""
PouredBy = Literal["free_fall", "drop_pipe", "tremie"]
_POURS: Mapping[PouredBy, str] = {
    "free_fall": "Place concrete by free fall down the centre, clear of cage and wall; measure the water at the base just before.",
    "drop_pipe": (
        "Let the soft concrete down by a drop pipe to just over the base, raised with it; measure the water at the base just before."
    ),
    "tremie": "Place concrete by tremie, from the base up, until it shows clean.",
}


def pour(by: PouredBy, *, starter_kept: bool) -> str:
    """Return the placing of concrete, and that the starter stays until it has set."""
    kept = " Leave the starter, full, until the concrete has set: water outside stands higher over the cut-off than it would balance."
    return f"{_POURS[by]}{kept if starter_kept else ''}"


def pull(number: int, outside_m: float | None, lifts: int, note: str) -> str:
    """Return the pull of a casing, of the starter where no size is given, with what its telling lift says."""
    name = "the starter" if outside_m is None else f"{mark(outside_m, 'size')} outside"
    between = f", in {lifts} lifts with concrete added between them as the table of pulls says" if lifts > 1 else ""
    return f"Pull casing {number}, {name}, slowly and straight while the concrete still flows{between}. {note}"


# ---- what a lift of a pull says


NO_CONCRETE_INSIDE = "The casing inside stays, so no concrete meets it; fill the gap as the engineer says."
OUT_AT_ANY_TIME = "The shoe stands above the finished concrete: it comes out at any time."


def not_safe(least_m: float, casing_top_m: float) -> str:
    """Return what a lift says for which the concrete would have to stand higher than the casing does."""
    return (
        f"Not safe as planned: the concrete would have to stand at {height_words(least_m)}, and the casing ends at "
        f"{height_words(casing_top_m)}. Lengthen the casing, leave it in, or lower the water outside; ask the engineer."
    )


def lift(before_m: float, least_m: float, after_m: float, *, shoe_after_m: float, more_drop_m: float) -> str:
    """Return what a safe lift says: the concrete before it, the least, and after it, where the shoe comes to, what cavities may take."""
    start = f"Bring the concrete to {height_words(before_m)} before the lift"
    if least_m - before_m > 0.05:
        start += f" (to {height_words(least_m)} at least)"
    end = "comes out" if shoe_after_m <= 0 else f"comes up to {mark(shoe_after_m, 'm')}"
    extra = f"; cavities in the wall can take {mark(more_drop_m, 'm')} more" if more_drop_m > 0.005 else ""
    return f"{start}; it falls to {height_words(after_m)} as the shoe {end}{extra}."
