"""Which rules fire on which example, written out for a reader."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from methodpick.engine.rulebook import Rulebook
    from methodpick.why.rule_firings import FiringCount


def cover_text(counts: Mapping[str, FiringCount], book: Rulebook, examples: int, *, silent_only: bool = False) -> str:
    """Write a line a rule: places where it is true, open, false, and the examples; then what never fires, with the reason."""
    lines = [] if silent_only else ["   true   open  false  rule, and the examples on which it holds"]
    for name, count in counts.items() if not silent_only else ():
        lines.append(f"{count.true:>7}{count.open:>7}{count.false:>7}  {name}")
        if count.examples:
            lines.append(" " * 23 + ("all" if len(count.examples) == examples else ", ".join(count.examples)))
    silent = {name: count for name, count in counts.items() if not count.true and book.by_id[name].status != "deprecated"}
    lines += [f"never: {name}: {count.reason}" for name, count in silent.items()]
    lines.append(f"{len(counts) - len(silent)} of {len(counts)} rules hold somewhere on {examples} examples")
    return "\n".join(lines)
