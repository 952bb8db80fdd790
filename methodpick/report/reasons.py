"""Words on the page: assumptions, reasons, hazards, cautions, questions, the other plans."""

from __future__ import annotations

from methodpick.document.facts import WEAK, cited, plain_name, reason_tail, verdict_words
from methodpick.plan.result import RulebookStamp, ShaftPlan
from methodpick.report.voice import STATE, STYLE, SUPPORT, Voice
from methodpick.unit_markup import mark_plainly


def assumptions(shaft: ShaftPlan, voice: Voice) -> None:
    """Write what the plan holds under, first of all."""
    voice.head("Holds only if")
    if not shaft.assumptions:
        voice.say("Nothing is assumed; the log says it all.")
    for one in shaft.assumptions:
        voice.item("-", f"{plain_name(one.fact)}: {one.assumed}. {one.why} ({_short(one.where)}; {one.source})")


def _short(where: str) -> str:
    parts = where.split("; ")
    return where if len(parts) <= 2 else f"{len(parts)} layers"


def set_by_overlays(stamp: RulebookStamp, voice: Voice) -> None:
    """Write the limits that overlays set; what was not read in print is to be looked up in the book of the contract."""
    if not stamp.set_by_overlays:
        return
    voice.head("Values set by overlays")
    for one in stamp.set_by_overlays:
        check = "" if one.confidence in {"read", "own"} else "; look it up in the book of the contract"
        known = WEAK.get(one.confidence, "read in print")
        value = mark_plainly(one.value, one.unit)
        voice.item("-", f"{plain_name(one.name)}: {value}, by {one.overlay} ({cited((one.source,))}; {known}{check})")


def reasons(shaft: ShaftPlan, voice: Voice) -> None:
    """Write the reasons of every interval, each reason whole only once."""
    voice.head("Reasons")
    told: set[tuple[str, str]] = set()
    for one in shaft.intervals:
        fluid = f" ({one.fluid})" if one.fluid else ""
        voice.say(f"{voice.n(one.top_m, 'm')} to {voice.n(one.base_m, 'm')}, {one.layer}: {SUPPORT[one.support]}{fluid}", 2, "bold")
        again = [reason.rule for reason in one.reasons if (reason.rule, reason.text) in told]
        for reason in one.reasons:
            if (reason.rule, reason.text) in told:
                continue
            told.add((reason.rule, reason.text))
            voice.item("  -", f"{reason.text} {reason_tail(reason, voice.units)}")
        if again:
            voice.item("  -", f"As above: {', '.join(again)}.")
        voice.item("  .", f"verdicts: {verdict_words(one)}")


def hazards(shaft: ShaftPlan, voice: Voice) -> None:
    """Write the hazards that stay open on the planned support."""
    if not shaft.open_hazards:
        return
    voice.head("Open hazards on the planned support")
    for one in shaft.open_hazards:
        ends = f"{voice.n(one.top_m, 'm')} to {voice.n(one.base_m, 'm')}, " if one.top_m is not None else ""
        voice.item("-", f"{ends}{STATE.get(one.state, one.state)}: {one.text} What to do: {one.treatment} [{one.rule}]")


def cautions(shaft: ShaftPlan, voice: Voice, only: str | None = None) -> None:
    """Write the cautions, dangers first."""
    listed = [one for one in shaft.cautions if only in {None, one.severity}]
    for severity, title in (("danger", "Dangers"), ("caution", "Cautions"), ("note", "Notes")):
        chosen = [one for one in listed if one.severity == severity]
        if not chosen:
            continue
        voice.head(title)
        for one in chosen:
            where = f" ({one.where})" if one.where else ""
            voice.item("!" if severity == "danger" else "-", f"{one.text}{where} [{one.rule}; {cited(one.sources)}]", STYLE[severity])


def questions(shaft: ShaftPlan, voice: Voice) -> None:
    """Write what to ask."""
    if not shaft.gaps:
        return
    voice.head("Questions to ask")
    for number, one in enumerate(shaft.gaps, 1):
        voice.item(f"{number:>2}.", f"{one.question} {one.why}")


def cautious(shaft: ShaftPlan, voice: Voice) -> None:
    """Write the cautious plan, where it differs."""
    one = shaft.cautious
    voice.head("Cautious plan")
    if one is None:
        voice.say("It is the same: the plan rests on no doubtful length.")
        return
    ratio = one.relative_cost / shaft.relative_cost if shaft.relative_cost else 1.0
    voice.say(f"Relative cost {ratio:.2f} times the plan. It hangs on this: {one.differs_because}")
    voice.say(f"Trigger: {one.trigger}")
    voice.say(f"Settled by: {one.settles}")
    for stage in one.stages:
        if stage.action in {"drill", "introduce_fluid", "advance_casing", "set_casing", "bail"}:
            voice.item(f"{stage.no:>2}.", stage.text)


def alternates(shaft: ShaftPlan, voice: Voice) -> None:
    """Write the other ways of building and why they lost."""
    voice.head("Other ways, and why they lost")
    for one in shaft.alternates:
        voice.item("-", f"{one.family}: {one.why_not}")


def doubts(shaft: ShaftPlan, voice: Voice) -> None:
    """Write the doubts of the log."""
    if not shaft.doubts:
        return
    voice.head("Doubts of the log")
    for text in shaft.doubts:
        voice.item("-", text)
