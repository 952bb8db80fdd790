"""The fluid programme on the page: the fluid and why, water, mix, control sheet, tests, loss and reserve."""

from __future__ import annotations

from methodpick.plan.result import ControlRow, FluidProgramme, Grade, Ingredient, LimitUsed, Mix, ShaftPlan
from methodpick.report.fluid import FLUID
from methodpick.report.voice import Voice

STANDING = {"planned": "planned", "open": "open too", "against_advice": "against advice", "unsettled": "not settled",
            "ruled_out": "ruled out", "not_allowed": "not allowed"}
STANDARD = {"astm-d4380": "ASTM D4380", "astm-d4381": "ASTM D4381", "astm-d6910": "ASTM D6910", "api-13b-1": "API 13B-1"}


def programme(shaft: ShaftPlan, voice: Voice) -> None:
    """Write the fluid programme of a shaft that has one."""
    one = shaft.fluid_programme
    if one is None:
        return
    voice.head("Fluid programme")
    voice.say(f"{FLUID[one.fluid]}: {voice.n(one.hole_m3, 'm3')} fill the hole, have {voice.n(one.stock_m3, 'm3')} in stock "
              f"({one.stock_factor.value:g} x{_set(one.stock_factor)}).")
    for fluid in one.choice:
        if fluid.standing != "not_allowed":
            voice.item("-", f"{FLUID[fluid.fluid]}, {STANDING[fluid.standing]}. {fluid.why}")
    barred = [FLUID[fluid.fluid].lower() for fluid in one.choice if fluid.standing == "not_allowed"]
    if barred:
        voice.item("-", f"Not allowed by the site file: {', '.join(barred)}.")
    voice.say(f"Mixing and ground water: {'; '.join(f'{check.what} {check.text}' for check in one.water)}.")
    _mix(one.mix, voice)
    voice.say(f"Sand in it: {one.sand.text}")
    _control(one, voice)
    voice.say(f"Losses: {voice.n(one.loss.handling_least_m3, 'm3')} to {voice.n(one.loss.handling_most_m3, 'm3')} with the spoil and in "
              f"cleaning. {one.loss.text}")


def _mix(mix: Mix, voice: Voice) -> None:
    if len(mix.ingredients) > 1:
        water = mix.ingredients[0]
        voice.say(f"Mix, in the volume of fluid and for the stock; the rest is water, {voice.n(water.stock_kg, 'kg')}; fresh fluid weighs "
                  f"{voice.n(mix.fresh_density_kg_m3, 'kg/m3')}:")
    for one in mix.ingredients[1:]:
        keys = ", ".join(dict.fromkeys(cite.key for cite in one.sources))
        voice.item("-", f"{one.name.capitalize()} {voice.n(one.kg_m3, 'dose')} ({_range(one, voice)}), {voice.n(one.stock_kg, 'kg')} for "
                   f"the stock: {one.formula} ({keys}, {one.confidence}).")
    others = [f"{one.grade.replace('_', ' ')} {voice.n(one.kg_m3, 'dose')} ({_range(one, voice)})" for one in mix.grades[1:]]
    if others:
        voice.say(f"The same slurry by other grades: {'; '.join(others)}.")
    for text in mix.checks:
        voice.item("-", text)


def _range(one: Ingredient | Grade, voice: Voice) -> str:
    least, unit = voice.n(one.least_kg_m3, "dose").split(" ", 1)
    return f"{least} to {voice.n(one.most_kg_m3, 'dose').removesuffix(f' {unit}')} {unit}"


def _control(one: FluidProgramme, voice: Voice) -> None:
    rows = [(row.name, _between(row.introduction_low, row.introduction_high, voice),
             _between(row.concreting_low, row.concreting_high, voice), row.test) for row in one.controls]
    voice.table(("property", "at introduction", "before concrete", "test"), rows)
    tests = (f"{row.name} {' or '.join(STANDARD.get(cite.key, cite.key) for cite in row.standards)}" for row in one.controls)
    limits = dict.fromkeys(_from(limit) for row in one.controls for limit in _limits(row))
    voice.say(f"Tests by: {'; '.join(tests)} (memory). Limits from: {'; '.join(limits)}.")
    for time in one.times:
        voice.item("-", time.text)


def _limits(row: ControlRow) -> list[LimitUsed]:
    sides = (row.introduction_low, row.introduction_high, row.concreting_low, row.concreting_high)
    return [limit for limit in sides if limit is not None]


def _from(limit: LimitUsed) -> str:
    return f"{limit.source.key}, {limit.source.where} ({limit.confidence}{_set(limit)})"


def _between(low: LimitUsed | None, high: LimitUsed | None, voice: Voice) -> str:
    """Write a range with its unit once; the overlay that set an end stands behind it, once where it set both."""
    if low is not None and high is not None:
        first, _, unit = voice.n(low.value, low.unit).partition(" ")
        last = voice.n(high.value, high.unit).removesuffix(f" {unit}")
        mine = "" if low.set_by == high.set_by else _mark(low)
        return f"{first}{mine} to {last}{f' {unit}' if unit else ''}{_mark(high)}"
    one = high or low
    return "-" if one is None else f"{'at most' if high else 'at least'} {voice.n(one.value, one.unit)}{_mark(one)}"


def _mark(limit: LimitUsed) -> str:
    return f" [{limit.set_by}]" if limit.set_by else ""


def _set(limit: LimitUsed) -> str:
    return f", set by {limit.set_by}" if limit.set_by else ""
