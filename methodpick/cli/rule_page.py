"""Rules written out for a reader: as a list, one whole, what an overlay changes, which hold where; and the rulebook as one page."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import field
from html import escape
from typing import TYPE_CHECKING

from methodpick.cli.output import folded
from methodpick.engine.compiler import FALSE, OPEN, TRUE
from methodpick.engine.interpret import named_limits, value_text, weakest_confidence
from methodpick.engine.rule import Case, Cited, Rule
from methodpick.engine.rulebook import Rulebook
from methodpick.records import record
from methodpick.terms import STATES
from methodpick.unit_markup import spell
from methodpick.vocabulary.catalogue import FactSpec
from methodpick.vocabulary.limits import Limit
from methodpick.vocabulary.tables import ClassTable
from methodpick.vocabulary.trade_sizes import SizeList

if TYPE_CHECKING:
    from methodpick.engine.rulebook import Outcomes
    from methodpick.ground.site import Site

# ---- on the terminal


def list_text(rules: Sequence[Rule], book: Rulebook) -> str:
    """Return rules by topic, two lines each: id, level and how well it is known; then what it does and its title."""
    lines: list[str] = []
    topic = ""
    for rule in rules:
        if rule.topic != topic:
            topic = rule.topic
            lines += [*([""] if lines else []), topic]
        lines.append(f"  {rule.id:<52} {rule.level:<6} known by {weakest_confidence(rule, book)}")
        lines.append(f"      {rule.title} [{effect_words(rule, brief=True)}]")
    return folded(lines)


def effect_words(rule: Rule, *, brief: bool = False) -> str:
    """Return what a rule does; ``brief`` leaves out points and questions."""
    states = ", ".join(rule.states)
    return {
        "exclude": f"excludes {states}",
        "suits": f"suits {states}",
        "prefer": f"prefers {states}" + ("" if brief else f" by {rule.points} points"),
        "caution": rule.severity if brief else f"warns ({rule.severity})",
        "ask": "asks" if brief else f"asks: {rule.question}",
    }[rule.effect]


def source_words(cited: Cited, book: Rulebook) -> str:
    """Return a source in full where the rulebook has it, else its key."""
    return book.sources[cited.key].cite() if cited.key in book.sources else cited.key


def rests_on_source(rule: Rule, source: str, book: Rulebook) -> bool:
    """Return whether a rule cites a source, or compares with or names a limit from it."""
    return any(cited.key == source for cited in rule.source) or any(book.limits[name].source == source for name in named_limits(rule, book))


def rule_text(rule: Rule, book: Rulebook) -> str:
    """Return a rule: what it says, when, why, on which limits and sources, with its cases."""
    lines = [
        f"{rule.id}: {rule.title}",
        f"  topic {rule.topic}, {rule.level}, {rule.status}, hazard {rule.hazard}, {rule.origin}",
        f"  {effect_words(rule)}",
        f"  when {rule.text}",
    ]
    lines += [f"  unless ({exemption.id}) {exemption.because}" for exemption in rule.unless]
    lines.append(f"  because {rule.because}")
    if rule.not_for:
        lines.append(f"  not for {rule.not_for}")
    lines += [f"  treatment, {state}: {text}" for state, text in rule.treatment.items()]
    for name in named_limits(rule, book):
        limit = book.limits[name]
        lines.append(f"  limit {name} = {limit_text(limit)} ({limit.source}, {limit.where}; {limit.confidence}, {limit.origin})")
    lines += [f"  source {source_words(cited, book)}, {cited.where}" for cited in rule.source]
    for case in rule.cases:
        given = ", ".join(f"{name} = {value_text(value, book.catalogue.facts[name].unit)}" for name, value in case.given.items())
        lines.append(f"  case {case.expect}: {given or 'nothing known'}")
    return folded(lines)


def sizes_text(sizes: SizeList, book: Rulebook) -> str:
    """Return a list of trade sizes: the sizes as they are written, where they come from and how well they are known."""
    lines = [f"{sizes.name}: {len(sizes.sizes)} sizes of the trade, {sizes.confidence}, {sizes.origin}"]
    lines.append(f"  {sizes.numbers()}")
    lines.append(f"  source {source_words(Cited(sizes.source, sizes.where), book)}, {sizes.where}")
    return folded([*lines, *([f"  note {sizes.note}"] if sizes.note else [])])


def limit_page(limit: Limit, book: Rulebook) -> str:
    """Return a limit: its value, what it is, how well it is known, its safe side and range, and the rules that compare with it."""
    ends = f"  safe side: {limit.safe}; plausible from {limit.least:g} to {limit.most:g}"
    source = f"  source {source_words(Cited(limit.source, limit.where), book)}, {limit.where}"
    lines = [f"{limit.name} = {limit_text(limit)}, {limit.confidence}, {limit.origin}", ends, source]
    lines += [f"  note {limit.note}"] if limit.note else []
    return folded([*lines, _named_in(rule for rule in book.rules if limit.name in named_limits(rule, book))])


def fact_page(fact: FactSpec, book: Rulebook) -> str:
    """Return a fact: what it means, what it may be, for which place it holds, what is asked where it is missing, the rules that name it."""
    kind = ", ".join(fact.words) or f"{fact.kind}{f' in {fact.unit}' if fact.unit not in ('', '1') else ''}"
    place = f"  {kind}; of the {fact.scope.replace('_', ' ')}; {fact.origin}"
    lines = [f"{fact.name}: {fact.meaning}", place, *([f"  asks: {fact.ask}"] if fact.ask else [])]
    return folded([*lines, _named_in(rule for rule in book.rules if fact.name in rule.facts)])


def _named_in(rules: Iterable[Rule]) -> str:
    return f"  rules: {', '.join(sorted(rule.id for rule in rules)) or 'none; the planner reads it'}"


def parts_text(book: Rulebook) -> str:
    """Return how many limits, lists of trade sizes and sources a rulebook has."""
    return f"{len(book.limits)} limits, {len(book.sizes)} lists of trade sizes, {len(book.sources)} sources"


def limit_text(limit: Limit) -> str:
    """Return the value of a limit, or its ends where it goes by the diameter of the shaft."""
    (low, high), unit = limit.number_range, "" if limit.unit == "1" else f" {limit.unit}"
    return f"{low:g} to {high:g}{unit} by the diameter" if limit.by_diameter else f"{limit.value:g}{unit}"


def diff_text(base: Rulebook, book: Rulebook) -> str:
    """Return what a book with overlays changes of the book without: limits, rules, and what becomes looser."""
    lines = [*_changed_limits(base, book), *_changed_sizes(base, book), *_changed_pay_items(base, book), *_changed_rules(base, book)]
    lines += [f"looser   {loosening.overlay}: {spell(loosening.what, 'si')}; reason: {loosening.reason}" for loosening in book.loosened]
    return folded(lines) or "nothing changes"


def _changed_limits(base: Rulebook, book: Rulebook) -> Iterator[str]:
    for name, limit in sorted(book.limits.items()):
        old = base.limits.get(name)
        where = f"({limit.source}, {limit.where}; {limit.confidence})"
        if old is None:
            yield f"limit    {name} = {limit_text(limit)} {where}, new"
        elif (old.value, old.by_diameter) != (limit.value, limit.by_diameter):
            yield f"limit    {name}: {limit_text(old)} -> {limit_text(limit)} {where}"


def _changed_sizes(base: Rulebook, book: Rulebook) -> Iterator[str]:
    for name, listed in sorted(book.sizes.items()):
        old = base.sizes.get(name)
        if old is None or old.sizes != listed.sizes:
            where = f"({listed.source}, {listed.where}; {listed.confidence})"
            yield f"sizes    {name}: {old.numbers() if old else 'steps'} -> {listed.numbers()} {where}"


def _changed_pay_items(base: Rulebook, book: Rulebook) -> Iterator[str]:
    paid, before = book.pay_items, base.pay_items
    if paid is not None and (before is None or (before.items, before.measured_from) != (paid.items, paid.measured_from)):
        was = ", ".join(before.items) if before is not None else "none"
        yield f"paid     {was} -> {', '.join(paid.items)} from the {paid.measured_from} ({paid.source}, {paid.where}; {paid.confidence})"


def _changed_rules(base: Rulebook, book: Rulebook) -> Iterator[str]:
    for rule in book.rules:
        old = base.by_id.get(rule.id)
        if old is None:
            yield f"added    {rule.id}: {rule.title}; {_effect(rule)} when {rule.text}"
        elif (old.text, old.states, old.level, old.effect) != (rule.text, rule.states, rule.level, rule.effect):
            yield f"changed  {rule.id}: {_effect(old)} when {old.text}; now {_effect(rule)} when {rule.text}"
    yield from (f"disabled {rule.id}: {rule.title}" for rule in book.disabled)


def _effect(rule: Rule) -> str:
    return f"{rule.level} {rule.effect} {', '.join(rule.states)}".rstrip()


@record(frozen=False)
class FiringCount:
    """At how many places a rule was true, open and false, and on which examples it held."""

    true: int = 0
    open: int = 0
    false: int = 0
    examples: list[str] = field(default_factory=list)

    @property
    def reason(self) -> str:
        """Return why the rule never held, nothing where it did."""
        if self.true:
            return ""
        if self.open:
            return "open at most: what decides it is never known for certain"
        return "silent everywhere" if self.false else "never judged"


def count_firings(sites: Mapping[str, Site], book: Rulebook) -> dict[str, FiringCount]:
    """Judge every rule over all shafts of the sites, which are named by their keys; return the count of every rule."""
    counts = {rule.id: FiringCount() for rule in book.rules}
    for name, site in sites.items():
        for state, outcomes in _places(site, book):
            for rule in outcomes.scope.rules:
                if state is not None and rule.states and state not in rule.states:
                    continue  # in a state that is not its own a rule says nothing
                count, certain = counts[rule.id], outcomes.of(rule.id)[0]
                count.true += certain == TRUE
                count.open += certain == OPEN
                count.false += certain == FALSE
                if certain == TRUE and name not in count.examples:
                    count.examples.append(name)
    return counts


def _places(site: Site, book: Rulebook) -> Iterable[tuple[str | None, Outcomes]]:
    """Return the outcomes of every place, with the support state where they belong to one."""
    from methodpick.plan.judging.planning_input import boring_for
    from methodpick.plan.pipeline import planning_basis
    from methodpick.plan.plan_context import shaft_context

    basis = planning_basis(site, book)
    for shaft in site.shafts:
        context = shaft_context(basis, boring_for(site, shaft, book.values), shaft)
        yield from ((None, outcomes) for outcomes in context.ground.shared_outcomes)
        for judged in context.ground.slices:
            yield None, judged.outcomes
            yield from ((state, judged.state_outcomes[state]) for state in STATES)
        path = context.best()
        if path is not None:
            yield None, context.stage_judgement(context.worked(path)).outcomes


def cover_text(counts: Mapping[str, FiringCount], book: Rulebook, examples: int, *, silent_only: bool = False) -> str:
    """Return a line a rule: places where it is true, open, false, and the examples; then what never fires, with the reason."""
    lines = [] if silent_only else ["   true   open  false  rule, and the examples on which it holds"]
    for name, count in counts.items() if not silent_only else ():
        lines.append(f"{count.true:>7}{count.open:>7}{count.false:>7}  {name}")
        if count.examples:
            lines.append(" " * 23 + ("all" if len(count.examples) == examples else ", ".join(count.examples)))
    silent = {name: count for name, count in counts.items() if not count.true and book.by_id[name].status != "deprecated"}
    lines += [f"never: {name}: {count.reason}" for name, count in silent.items()]
    lines.append(f"{len(counts) - len(silent)} of {len(counts)} rules hold somewhere on {examples} examples")
    return folded(lines)


# ---- the whole rulebook as one page, in Markdown or as one self-contained HTML file


VIEWPORT = '<meta name="viewport" content="width=device-width, initial-scale=1">'
"""Lets a phone show the page as wide as it is."""
STYLE = (
    "body{font:11pt/1.45 Georgia,serif;max-width:52em;margin:2em auto;padding:0 1em;color:#111;background:#fff}"
    "h1,h2,h3{font-family:Helvetica,Arial,sans-serif;line-height:1.2}h3{margin-top:1.6em;font-size:11pt}"
    "table{border-collapse:collapse;font-size:9.5pt;width:100%}th,td{border:1px solid #999;padding:.25em .5em;text-align:left;"
    "vertical-align:top}code{font-size:9.5pt}body{overflow-wrap:anywhere}th,td{overflow-wrap:break-word}"
    "@media screen and (max-width:640px){table{display:block;overflow-x:auto}ul{padding-left:1.4em}}"
    "@media screen and (prefers-color-scheme:dark){body{color:#e6e6e6;background:#161616}a{color:#8ab4f8}}"
    "@media print{h3{break-after:avoid}table{break-inside:auto}a{color:inherit;text-decoration:none}}"
)


def page_markdown(book: Rulebook) -> str:
    """Return the rulebook as Markdown: rules by topic, then limits, class tables, assumptions and sources."""
    topics = list(dict.fromkeys(rule.topic for rule in book.rules))
    overlays = f" with {', '.join(book.overlays)}" if book.overlays else ""
    counts = f"{len(book.rules)} rules, {parts_text(book)}; digest {book.digest[:12]}."
    lines = [
        f"# The rulebook{overlays}",
        "",
        f"{counts} It supports judgement: a licensed engineer and the governing specification decide.",
        "",
    ]
    lines += [f"* [{topic}](#{topic})" for topic in topics]
    lines += [f"* [{part}](#{part})" for part in ("limits", "sizes", "tables", "assumptions", "sources")]
    for topic in topics:
        ours = [rule for rule in book.rules if rule.topic == topic]
        lines += ["", f"## {topic}", "", *_contents(ours)]
        for rule in ours:
            lines += ["", *_rule(rule, book)]
    lines += _numbers(book)
    lines += ["", "## assumptions", ""]
    lines += [
        f"* **{assumed.id}**: {assumed.fact.replace('_', ' ')} {value_text(assumed.value, book.catalogue.facts[assumed.fact].unit)}. "
        f"{assumed.why} ({assumed.source})"
        for assumed in book.assumptions
    ]
    lines += [
        "",
        "## sources",
        "",
        *(f"* **{key}**: {_safe(source.cite())} ({source.confidence})" for key, source in book.sources.items()),
        "",
    ]
    return "\n".join(lines)


def _numbers(book: Rulebook) -> Iterator[str]:
    """Return the sections of the limits, the trade sizes and the class tables."""
    yield from ("", "## limits", "", *_table(("limit", "value", "source", "known"), map(_limit_row, book.limits.values())))
    heads = ("trade sizes", "outside, or outside/inside", "source", "known")
    yield from ("", "## sizes", "", *_table(heads, map(_sizes_row, book.sizes.values())))
    yield from ("", "## tables")
    for table in book.tables.values():
        yield from ("", *_class_table(table, book))


def page_html(book: Rulebook) -> str:
    """Return the same page as one HTML file that asks nothing of a network."""
    from markdown_it import MarkdownIt

    body = MarkdownIt("commonmark", {"html": False}).enable("table").render(page_markdown(book))
    for level in ("2", "3"):
        body = _with_anchors(body, level)
    return (
        f'<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">{VIEWPORT}<title>The rulebook</title><style>{STYLE}</style></head>\n'
        f"<body>\n{body}</body></html>\n"
    )


def _with_anchors(body: str, level: str) -> str:
    first, *rest = body.split(f"<h{level}>")
    return first + "".join(f'<h{level} id="{escape(part.split("</", 1)[0], quote=True)}">{part}' for part in rest)


def _rule(rule: Rule, book: Rulebook) -> Iterator[str]:
    yield f"### {rule.id}"
    yield ""
    effect = _safe(effect_words(rule))
    yield f"**{_safe(rule.title)}.** {rule.level}, {rule.hazard.replace('-', ' ')}, {rule.status}; {effect}. {_safe(rule.because)}"
    yield ""
    yield f"* when `{rule.text}`"
    yield from (f"* unless {exemption.id}: {_safe(exemption.because)}" for exemption in rule.unless)
    if rule.not_for:
        yield f"* not for: {_safe(rule.not_for)}"
    yield from (f"* if it must be done all the same, {state.replace('_', ' ')}: {_safe(text)}" for state, text in rule.treatment.items())
    for limit in (book.limits[name] for name in named_limits(rule, book)):
        yield f"* limit {limit.name} = {_value(limit)} ([{limit.source}](#sources), {_safe(limit.where)}; {_known(limit)})"
    yield from (f"* source: {_safe(source_words(cited, book))}, {_safe(cited.where)}" for cited in rule.source)
    yield f"* known by: {weakest_confidence(rule, book)}; origin: {rule.origin}"
    for expect in dict.fromkeys(case.expect for case in rule.cases):
        yield f"* {expect}: " + "; ".join(_case(case, book) for case in rule.cases if case.expect == expect)


def _contents(rules: Sequence[Rule]) -> Iterator[str]:
    """Return the rules of a topic as links, under the titles of the files that they stand in."""
    for section in dict.fromkeys(rule.section for rule in rules):
        if section:
            yield f"* {_safe(section)}"
        indent = "  " if section else ""
        yield from (f"{indent}* [{_safe(rule.title)}](#{rule.id})" for rule in rules if rule.section == section)


def _case(case: Case, book: Rulebook) -> str:
    given = (f"{name} = {value_text(value, book.catalogue.facts[name].unit)}" for name, value in case.given.items())
    return _safe(", ".join(given) or "nothing known")


def _limit_row(limit: Limit) -> tuple[str, ...]:
    return limit.name, _value(limit), f"{limit.source}, {limit.where}", f"{_known(limit)}. {limit.note}".strip()


def _sizes_row(sizes: SizeList) -> tuple[str, ...]:
    return sizes.name, sizes.numbers(), f"{sizes.source}, {sizes.where}", f"{_known(sizes)}. {sizes.note}".strip()


def _known(limit: Limit | SizeList) -> str:
    return limit.confidence if limit.origin == "base" else f"{limit.confidence}, set by {limit.origin}"


def _value(limit: Limit) -> str:
    return limit_text(limit).removesuffix(" 1")


def _class_table(table: ClassTable, book: Rulebook) -> Iterator[str]:
    facts = book.catalogue.facts
    yield f"### {table.id}"
    yield ""
    yield f"{_safe(table.title)}."
    yield ""
    rows = [
        (
            *(value_text(row.when[name], facts[name].unit) if name in row.when else "any" for name in table.inputs),
            *(
                value_text(row.then[name], facts[name].unit if name in facts else "1") if name in row.then else "-"
                for name in table.outputs
            ),
            f"{row.source}, {row.where}; {row.confidence}",
        )
        for row in table.rows
    ]
    yield from _table((*(name.replace("_", " ") for name in (*table.inputs, *table.outputs)), "source"), rows)


def _table(heads: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> Iterator[str]:
    yield "| " + " | ".join(heads) + " |"
    yield "|" + "---|" * len(heads)
    yield from ("| " + " | ".join(_safe(cell) for cell in row) + " |" for row in rows)


def _safe(text: str) -> str:
    """Return the text of a rule so that it is not read as markup."""
    for sign in "\\`*_[]<>|":
        text = text.replace(sign, "\\" + sign)
    return " ".join(text.split())
