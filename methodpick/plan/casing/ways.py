"""How each way of advancing casing ahead of the dig is said."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from methodpick.terms import CasingWay


@dataclass(frozen=True, slots=True)
class WayWords:
    """The words of a way: "advance casing ``manner``", "advance the casing by ``means``", a casing that is ``installed``."""

    manner: str
    means: str
    installed: str


WAY_WORDS: Mapping[CasingWay, WayWords] = {
    "twisted": WayWords("by twisting", "twisting", "twisted in by the rig"),
    "vibrated": WayWords("by vibration", "vibration", "vibrated in"),
    "driven": WayWords("by driving", "driving", "driven"),
    "oscillated": WayWords("by oscillator or rotator", "the oscillator or rotator", "oscillated or rotated in"),
}
PUSHED = WayWords("by pushing", "pushing", "pushed in")
"""Where no way is named."""


def words_of(way: str | None) -> WayWords:
    """Return the words of a way, those of pushing where none is named."""
    return next((words for known, words in WAY_WORDS.items() if known == way), PUSHED)
