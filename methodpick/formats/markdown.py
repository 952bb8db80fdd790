"""A draft of the shaft installation plan as Markdown: what a plan knows is filled in, the rest stands as named blanks.

The sections are those that specifications usually ask for (common practice, after agency requirements for drilled shaft
installation plans). No name, firm, machine, product or supplier is ever invented.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from methodpick.document.grouping import groups
from methodpick.document.installation_plan import BLANK, SECTIONS, Draft, Line
from methodpick.document.model import Pen
from methodpick.document.report import CLOSING
from methodpick.plan.result import Plan
from methodpick.unit_markup import System

WARNING = (
    "**Not for construction.** Every blank is filled by the contractor; the draft is checked by the licensed engineer in charge "
    "before it is submitted."
)
_SIGNS = "\\`*_[]<>|#~$&"
_LEADS = "+-=:"


def plan_markdown(plan: Plan, units: System | None = None) -> str:
    """Write the draft of the installation plan in the reader's units."""
    draft = Draft(_shared(plan), Pen(units or plan.units))
    overlays = f" with {', '.join(plan.rulebook.overlays)}" if plan.rulebook.overlays else ""
    lines = [
        f"# Drilled shaft installation plan (draft): {_safe(draft.pen.t(plan.site_name or plan.input.path))}",
        "",
        _safe(
            f"Drafted by methodpick {plan.tool_version} from {draft.pen.t(plan.input.path)} (digest {plan.input.digest[:12]}) and "
            f"rulebook {plan.rulebook.digest[:12]}{draft.pen.t(overlays)}."
        ),
        "",
        WARNING,
        "",
        _safe(CLOSING),
        "",
    ]
    for number, (title, fill) in enumerate(SECTIONS, 1):
        lines += [f"## {number}. {title}", "", *_lines(fill(draft))]
    left = sum(line.startswith(f"* {BLANK}") for line in lines)
    return "\n".join([*lines, f"{left} blanks are left to fill. Search for the word BLANK.", ""])


def _shared(plan: Plan) -> Plan:
    """Return the plan with shafts that are alike standing as one under all their names, so that nothing is written twice."""
    return replace(plan, shafts=tuple(replace(one.first, id=one.names, count=one.count) for one in groups(plan.shafts)))


def _lines(found: Iterable[Line]) -> Iterator[str]:
    """Write the lines of a section, a table with its own frame."""
    last = ""
    for line in found:
        if last and line.kind != last:
            yield ""
        last = line.kind
        if line.kind == "table":
            yield from _table(line)
            last = "end"
        elif line.kind == "blank":
            yield f"* {BLANK} {_safe(line.text)}: ______"
        elif line.kind == "head":
            yield f"### {_safe(line.text)}"
        elif line.kind == "text":
            yield f"{_safe(line.text)}  "
        else:
            yield f"{'1.' if line.kind == 'step' else '*'} {_safe(line.text)}"
    yield ""


def _table(line: Line) -> Iterator[str]:
    heads, *rows = line.rows
    yield "| " + " | ".join(map(_safe, heads)) + " |"
    yield "|" + "---|" * len(heads)
    yield from ("| " + " | ".join(map(_safe, row)) + " |" for row in rows)


def _safe(text: str) -> str:
    r"""Keep foreign text from being read as Markdown or HTML, and on one line.

    >>> _safe("a *b*\n<i>c</i> | 1")
    'a \\*b\\* \\<i\\>c\\</i\\> \\| 1'
    >>> _safe("- not an item")
    '\\- not an item'
    """
    for sign in _SIGNS:
        text = text.replace(sign, "\\" + sign)
    plain = " ".join(text.split())
    if plain[:1] in tuple(_LEADS):
        return "\\" + plain
    head, dot, rest = plain.partition(".")
    return f"{head}\\.{rest}" if dot and head.isdigit() and rest.startswith(" ") else plain.replace("://", ":\u200b//")
