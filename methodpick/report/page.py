"""The page of a shaft, from the decision to the questions."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console
from rich.text import Text

from methodpick.plan.result import Interval, Plan, ShaftPlan
from methodpick.report import flips, fluid, fluid_programme, pour, reasons, sizes
from methodpick.report.ladder import ladder
from methodpick.report.strip import draw
from methodpick.report.voice import STATE, SUPPORT, Voice
from methodpick.unit_markup import System

CLOSING = (
    "This plan supports judgement and does not replace it: the licensed engineer in charge and the governing specification "
    "decide. Local safety codes govern all work at and around the open hole. Nobody enters the hole."
)


def render(plan: Plan, console: Console, units: System | None = None, *, brief: bool = False, reader_doubts: tuple[str, ...] = ()) -> None:
    """Print the report of a plan in the reader's units (else those of the input)."""
    voice = Voice(console, units or plan.units)
    for index, shaft in enumerate(plan.shafts):
        if index:
            console.print()
            console.rule(characters="=")
        _shaft(plan, shaft, voice, brief=brief)
    if reader_doubts and not brief:
        voice.head("Doubts of the reader")
        for text in reader_doubts:
            voice.item("-", text)
    if not brief:
        reasons.set_by_overlays(plan.rulebook, voice)
    if plan.sources and not brief:
        voice.head("Sources")
        for key, text in plan.sources.items():
            voice.item("-", f"{key}: {text}")
    console.print()
    voice.say(CLOSING, 0)


def _shaft(plan: Plan, shaft: ShaftPlan, voice: Voice, *, brief: bool) -> None:
    _header(plan, shaft, voice)
    if not brief:
        reasons.assumptions(shaft, voice)
        draw(shaft, voice)
        _intervals(shaft, voice)
    _stages(shaft, voice)
    if brief:
        reasons.cautions(shaft, voice, only="danger")
        return
    sizes.casings(shaft, voice)
    fluid.window(shaft, voice)
    fluid_programme.programme(shaft, voice)
    pour.concrete(shaft, voice)
    pour.pulls(shaft, voice)
    sizes.quantities(shaft, voice)
    reasons.reasons(shaft, voice)
    flips.of_intervals(shaft, voice)
    reasons.hazards(shaft, voice)
    reasons.cautions(shaft, voice)
    reasons.questions(shaft, voice)
    ladder(shaft, voice)
    reasons.cautious(shaft, voice)
    reasons.alternates(shaft, voice)
    reasons.doubts(shaft, voice)


def _header(plan: Plan, shaft: ShaftPlan, voice: Voice) -> None:
    many = f" ({shaft.count} of this kind)" if shaft.count > 1 else ""
    voice.console.print(Text(f"Shaft {shaft.id}{many}" + (f" - {plan.site_name}" if plan.site_name else ""), style="bold"))
    away = f", {voice.n(shaft.boring_distance_m, 'm')} away" if shaft.boring_distance_m is not None else ""
    if shaft.boring_level_m:
        away += f", its ground {voice.n(abs(shaft.boring_level_m), 'm')} {'lower' if shaft.boring_level_m > 0 else 'higher'}"
    voice.say(
        f"{voice.n(shaft.diameter_m, 'size')} diameter, tip {voice.n(shaft.tip_depth_m, 'm')} below ground, boring "
        f"{shaft.boring}{away}, boring ends at {voice.n(shaft.ground.end_m, 'm')}",
        0,
    )
    overlays = f" with {', '.join(plan.rulebook.overlays)}" if plan.rulebook.overlays else ""
    voice.say(
        f"methodpick {plan.tool_version}, rulebook {plan.rulebook.digest[:12]}{overlays}, input {plan.input.path} {plan.input.digest[:12]}",
        0,
    )
    voice.head("Decision")
    voice.say(shaft.decision, style="bold")
    voice.say(f"Method: {SUPPORT[shaft.method]}. Concrete: {shaft.placement.state}. {shaft.placement.why}")


def grouped(intervals: Sequence[Interval]) -> list[list[Interval]]:
    """Return neighbours that are held alike in one soil together: they differ in their verdicts only."""
    groups: list[list[Interval]] = []
    for one in intervals:
        last = groups[-1][-1] if groups else None
        if last is not None and (last.soil_class, last.support, last.fluid, last.drilled_in, last.confidence) == (
            one.soil_class,
            one.support,
            one.fluid,
            one.drilled_in,
            one.confidence,
        ):
            groups[-1].append(one)
        else:
            groups.append([one])
    return groups


def _intervals(shaft: ShaftPlan, voice: Voice) -> None:
    voice.head("Intervals: what holds the wall when the tip is reached")
    rows = []
    for group in grouped(shaft.intervals):
        one = group[0]
        held = SUPPORT[one.support] + (f" ({one.fluid})" if one.fluid else "")
        rows.append(
            (
                voice.n(one.top_m, "m"),
                voice.n(group[-1].base_m, "m"),
                one.soil_class.replace("_", " "),
                held,
                STATE.get(one.drilled_in or "", "-"),
                one.confidence,
            )
        )
    voice.table(("top", "base", "ground", "held by", "drilled", "confidence"), rows, right=(0, 1))


def _stages(shaft: ShaftPlan, voice: Voice) -> None:
    voice.head("Stages")
    for stage in shaft.stages:
        hours = f" [{stage.hours:.1f} h]" if stage.hours else ""
        voice.item(f"{stage.no:>2}.", stage.text + hours)
    total = sum(stage.hours or 0.0 for stage in shaft.stages)
    voice.say(f"About {total:.0f} h from the starter to the last pull, by planning rates that are this tool's own.")
