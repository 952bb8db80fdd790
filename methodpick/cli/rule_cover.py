"""Which rules fire on which example, written out for a reader."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from methodpick.engine.rulebook import Rulebook
    from methodpick.why.rule_firings import Tally


def cover_text(found: Mapping[str, Tally], book: Rulebook, examples: int, *, silent_only: bool = False) -> str:
    """Write a line a rule: places where it is true, open, false, and the examples; then what never fires, with the reason."""
    lines = [] if silent_only else ["   true   open  false  rule, and the examples on which it holds"]
    for name, tally in found.items() if not silent_only else ():
        lines.append(f"{tally.true:>7}{tally.open:>7}{tally.false:>7}  {name}")
        if tally.examples:
            lines.append(" " * 23 + ("all" if len(tally.examples) == examples else ", ".join(tally.examples)))
    silent = {name: tally for name, tally in found.items() if not tally.true and book.by_id[name].status != "deprecated"}
    lines += [f"never: {name}: {tally.reason}" for name, tally in silent.items()]
    lines.append(f"{len(found) - len(silent)} of {len(found)} rules hold somewhere on {examples} examples")
    return "\n".join(lines)
