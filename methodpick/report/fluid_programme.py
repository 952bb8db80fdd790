"""The fluid programme on the page: the fluid and why, water, mix, control sheet, tests, loss and reserve."""

from __future__ import annotations

from methodpick.document import fluid_programme as told
from methodpick.plan.result import FluidProgramme, ShaftPlan
from methodpick.report.voice import Voice


def programme(shaft: ShaftPlan, voice: Voice) -> None:
    """Write the fluid programme of a shaft that has one."""
    one = shaft.fluid_programme
    if one is None:
        return
    voice.head("Fluid programme")
    voice.say(told.stock(one, voice))
    for text in told.choice(one):
        voice.item("-", text)
    voice.say(told.water(one))
    _mix(one, voice)
    voice.say(told.sand(one))
    voice.table(told.CONTROL_HEADS, told.control_rows(one, voice))
    voice.say(told.control_sources(one))
    for time in one.times:
        voice.item("-", time.text)
    voice.say(told.losses(one, voice))


def _mix(one: FluidProgramme, voice: Voice) -> None:
    lead = told.mix_lead(one.mix, voice)
    if lead:
        voice.say(lead)
    for text in told.mix_items(one.mix, voice):
        voice.item("-", text)
    others = told.other_grades(one.mix, voice)
    if others:
        voice.say(others)
    for text in one.mix.checks:
        voice.item("-", text)
