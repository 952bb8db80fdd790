"""The safety page of a site: what holds at every shaft, once, by when it is minded."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

from methodpick.document.cautions import cares, placed, warning_words
from methodpick.document.model import Items, Page, Section, page_with, section
from methodpick.document.record import CLOSING
from methodpick.document.schedule import as_one
from methodpick.plan.result import Caution, ShaftPlan
from methodpick.terms import SEVERITIES

SETTLED_BEFORE = frozenset(
    {
        "cage-lets-concrete-through",
        "casing-takes-the-side-of-stiff-clay",
        "engineer-decides",
        "hot-and-cold-weather",
        "integrity-of-wet-shafts",
        "technique-shaft",
    }
)
"""Cautions on what designer, mixing plant and contractor settle before the rig comes; who decides stands in the last words."""
STOPS = ("placement-dry-check", "sudden-loss-stop")
"""Cautions that say when to stop: they stand among what ends the plan."""
TOLD_AS_STEPS = frozenset(
    {
        "dry-base-cleaned-and-inspected",  # the stage that cleans the base
        "fluid-in-before-the-trouble",  # the stage that fills the hole, with the depth
        "mineral-limits-before-concrete",  # the table of the fluid, with the same numbers
        "polymer-limits-before-concrete",
        "water-limits-before-concrete",
        "seal-before-emptying",  # the stage that tests the seal
        "tremie-always-embedded",  # the sentence on the tremie, with the same number
    }
)
"""Cautions that the stages and tables of the foreman's sheet tell with their numbers."""
DANGERS, WHILE_DRILLING = "Dangers", "While drilling"
_MINDED: dict[str, frozenset[str]] = {
    "Before the rig drills": frozenset(
        {
            "fresh-shafts-are-not-shaken",
            "neighbour-shaft-age",
            "overhead-lines",
            "platform-carries-the-rig",
            "position-and-plumb",
            "engineer-decides",
            "technique-shaft",
            "utilities",
        }
    ),
    WHILE_DRILLING: frozenset({"no-fluid-disposal-on-site", "polymer-sand-settles"}),
    "Casing, cage and concrete": frozenset(
        {
            "casing-stuck",
            "collapse",
            "concrete-defect",
            "hot-work-at-splices",
            "lifting",
            "rock-socket-verified",
            "seal",
            "washout-and-spoil",
        }
    ),
}
"""When a caution is minded, by its rule, else its hazard; what is named nowhere is minded while drilling."""
_HEADINGS = (DANGERS, *_MINDED)


def safety_page(shafts: Sequence[ShaftPlan], *, sources: bool = True, on_the_rig: bool = False) -> Page:
    """Return the cautions that hold at every shaft, the dangers first, the others by when they are minded, the graver ones before notes.

    They stand with their sources unless these are not asked for. ``on_the_rig`` it has the cautions of the ways of working that the site
    uses as well, and nothing that is settled before the rig comes.
    """
    every = [caution for shaft in shafts for caution in shaft.cautions if caution.reach == "every_shaft"]
    if on_the_rig:
        every = [caution for caution in every if caution.rule not in SETTLED_BEFORE]
        every += [caution for shaft in shafts for caution in cares(shaft) if is_of_the_site(caution)]
    say = warning_words if sources else in_words
    parts = (_minded(heading, [caution for caution in every if _heading(caution) == heading], say) for heading in _HEADINGS)
    return page_with("Safety page: what holds at every shaft of the site", (CLOSING,), *parts)


def in_words(caution: Caution) -> str:
    """Return a caution with all its words, and where it holds."""
    return placed(caution, caution.text)


def is_of_the_site(caution: Caution) -> bool:
    """Return whether a caution stands on the safety page of the site, and not on each sheet: one of the method that is no danger."""
    is_told = caution.rule in TOLD_AS_STEPS or caution.rule in STOPS or caution.rule in SETTLED_BEFORE
    return (caution.severity, caution.reach) == ("caution", "method") and not is_told


def _heading(caution: Caution) -> str:
    """Return under which heading a caution stands: that of its rule, else that of its hazard."""
    if caution.severity == "danger":
        return DANGERS
    headings = (heading for key in (caution.rule, caution.hazard) for heading, keys in _MINDED.items() if key in keys)
    return next(headings, WHILE_DRILLING)


def _minded(heading: str, cautions: Sequence[Caution], say: Callable[[Caution], str]) -> Section:
    """Return what is minded at one time: dangers, then cautions, then notes."""
    lists = (
        Items(tuple(_once((each for each in cautions if each.severity == severity), say)), tone="" if severity == "note" else severity)
        for severity in SEVERITIES
    )
    return section(heading, *lists, tone="danger" if heading == DANGERS else "")


def _once(cautions: Iterable[Caution], say: Callable[[Caution], str]) -> Iterator[str]:
    """Return what cautions say, each rule once: where shafts differ in numbers only, with the least and the most."""
    texts: dict[str, list[str]] = {}
    for caution in cautions:
        texts.setdefault(caution.rule, []).append(say(caution))
    for told in texts.values():
        yield from as_one(told)
