"""The safety page of a site: what holds at every drilled shaft, once."""

from __future__ import annotations

from collections.abc import Sequence

from methodpick.document.cautions import TITLES, TONES, warning_words
from methodpick.document.model import Items, Page, page_with, section
from methodpick.document.record import CLOSING
from methodpick.plan.result import Caution, ShaftPlan
from methodpick.terms import SEVERITIES


def safety_page(shafts: Sequence[ShaftPlan]) -> Page:
    """Return the cautions that hold at every shaft, by severity, with their sources."""
    found: dict[str, Caution] = {}
    for shaft in shafts:
        found.update({caution.rule: caution for caution in shaft.cautions if caution.reach == "every_shaft"})
    sections = (
        section(
            TITLES[severity],
            Items(tuple(warning_words(caution) for caution in found.values() if caution.severity == severity)),
            tone=TONES[severity],
        )
        for severity in SEVERITIES
    )
    return page_with("Safety page: what holds at every shaft of the site", (CLOSING,), *sections)
