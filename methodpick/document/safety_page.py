"""Cautions on the foreman's sheet, and the safety page: what holds at every drilled shaft, once."""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.document.cautions import TITLES, TONES, TWO_LINES, cares, placed, warning_words
from methodpick.document.model import Items, Page, page_with, section
from methodpick.document.record import CLOSING
from methodpick.patterns import pattern_of
from methodpick.plan.result import Caution, ShaftPlan
from methodpick.terms import SEVERITIES
from methodpick.unit_markup import spell

SAYS_SOMETHING = 30
"""Letters from the last stop or colon to a comma that say something without what follows the comma."""
_CUT = pattern_of(r"[.;:,] ")
_EXCEPTS = pattern_of(r"(?:though|unless|but|never|only|except|else|not|and (?:never|nobody|no|not))\b")
"""How a clause begins that takes back what stands before it, or forbids something."""


def safety_page(shafts: Sequence[ShaftPlan], *, sources: bool = True) -> Page:
    """Return the cautions that hold at every shaft, by severity, with their sources unless these are not asked for."""
    found: dict[str, Caution] = {}
    for shaft in shafts:
        found.update({caution.rule: caution for caution in shaft.cautions if caution.reach == "every_shaft"})
    say = warning_words if sources else _whole
    sections = (
        section(
            TITLES[severity], Items(tuple(say(caution) for caution in found.values() if caution.severity == severity)), tone=TONES[severity]
        )
        for severity in SEVERITIES
    )
    return page_with("Safety page: what holds at every shaft of the site", (CLOSING,), *sections)


TOLD_AS_STEPS = frozenset(
    {
        "dry-base-cleaned-and-inspected",  # the stage that cleans the base
        "fluid-in-before-the-trouble",  # the stage that fills the hole, with the depth
        "mineral-limits-before-concrete",  # the table of the fluid, with the same numbers
        "polymer-limits-before-concrete",
        "water-limits-before-concrete",
        "seal-before-emptying",  # the stage that tests the seal
    }
)
"""Cautions that the stages and tables of the foreman's sheet tell with their numbers."""


def cares_in_short(shaft: ShaftPlan) -> tuple[str, ...]:
    """Return the dangers and cautions of a shaft in short, without those that are steps of the work on the same sheet."""
    return tuple(care_in_short(caution) for caution in cares(shaft) if caution.rule not in TOLD_AS_STEPS)


def care_in_short(caution: Caution) -> str:
    """Return a danger with all its words, any other caution in two lines, each with where it holds."""
    if caution.severity == "danger":
        return _whole(caution)
    return placed(caution, cut_to(caution.text, TWO_LINES - len(spell(placed(caution, ""), "us"))))


def _whole(caution: Caution) -> str:
    return placed(caution, caution.text)


def cut_to(text: str, letters: int) -> str:
    """Return a text, cut at the end of a sentence or clause where it has more letters, and never before what takes it back.

    The first clause stands in any case.

    >>> cut_to("Turn it now and then, though never while it is sealed.", 30)
    'Turn it now and then, though never while it is sealed.'
    >>> cut_to("It sticks soon. Turn it now and then, though never while it is sealed.", 45)
    'It sticks soon ...'
    """
    cuts, clause = [], 0
    for found in _CUT.finditer(text):
        is_comma = text[found.start()] == ","
        if not _EXCEPTS.match(text, found.end()) and not (is_comma and found.start() - clause < SAYS_SOMETHING):
            cuts.append(found.start())
        clause = clause if is_comma else found.end()
    if len(spell(text, "us")) <= letters or not cuts:
        return text
    fitting = [cut for cut in cuts if len(spell(text[:cut], "us")) <= letters - 4] or cuts[:1]
    return f"{text[: fitting[-1]]} ..."
