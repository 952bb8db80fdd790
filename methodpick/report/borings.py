"""Which boring decided for each shaft: distance, level difference and method always, then what is flagged."""

from __future__ import annotations

from methodpick.document import site_text as told
from methodpick.report.voice import Voice
from methodpick.site.result import SitePlan


def borings_of_shafts(planned: SitePlan, voice: Voice) -> None:
    """Write the table of shafts and borings and the flags, alike flags together."""
    voice.head("Borings of the shafts")
    voice.table(told.BORING_HEADS, told.boring_rows(planned, voice), right=(2, 3))
    voice.say(told.BORING_KEY)
    for text in told.ways(planned):
        voice.say(text)
    for text in told.flags(planned):
        voice.item("!", text, style="yellow")
