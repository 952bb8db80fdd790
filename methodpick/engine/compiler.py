"""Compile the conditions of a scope into one function that judges sets: on the whole range and at the likely values.

The code is printed from the checked tree, see ``printing.py``; what the bits of a mask mean tells ``columns.py``.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from operator import itemgetter
from typing import Any

from methodpick.engine.columns import Layout, SetColumn, pieces
from methodpick.engine.normal import normal
from methodpick.engine.printing import Terms, compiled, look_up, look_up_range, tests
from methodpick.engine.tree import Condition, facts_of, facts_of_atom
from methodpick.vocabulary.catalogue import Catalogue, FactSpec
from methodpick.vocabulary.values import Span, Value

OPEN, TRUE, FALSE = 0, 1, 2
"""The three truth values of a rule."""


class Program:
    """The compiled conditions of one scope."""

    def __init__(self, conditions: Sequence[Condition], catalogue: Catalogue) -> None:
        """Compile conditions; bit ``n`` of a mask is condition ``n``."""
        self.names = tuple(sorted({name for condition in conditions for name in facts_of(condition)}))
        self._facts = {name: catalogue.facts[name] for name in self.names}
        layout = Layout()
        layout.add([normal(condition, catalogue) for condition in conditions])
        self.above = layout.bits
        """Bit ``n + above`` tells that condition ``n`` is possible."""
        self.rules = (1 << len(conditions)) - 1
        self._judge: Callable[[Mapping[str, Value]], tuple[int, int]] = compiled(_judge(self._facts, layout), _names(self._facts, layout))[
            "judge"
        ]

    def judge(self, values: Mapping[str, Value]) -> tuple[int, int]:
        """Return the masks on the whole range and at the likely values; a missing fact is its whole domain.

        Raises TypeError for a value of the wrong kind, ValueError for a word that the fact cannot have.
        """
        try:
            return self._judge(values)
        except AttributeError:
            for name, spec in self._facts.items():
                if name in values and isinstance(values[name], Span) is not isinstance(spec.domain, Span):
                    raise TypeError(f"the fact '{name}' needs a {'number' if spec.kind == 'number' else 'word'}") from None
            raise

    def truth(self, mask: int, index: int) -> int:
        """Return the truth of one condition in a mask."""
        return TRUE if mask >> index & 1 else OPEN if mask >> self.above + index & 1 else FALSE

    def possible(self, mask: int) -> int:
        """Return the mask of conditions that hold or may hold."""
        return mask >> self.above & self.rules


def _names(facts: Mapping[str, FactSpec], layout: Layout) -> dict[str, Any]:
    names: dict[str, Any] = {"KeyError": KeyError, "whole": {name: spec.domain for name, spec in facts.items()}}
    if facts:
        names["get"] = itemgetter(*facts)
    for index, spec in enumerate(facts.values()):
        if spec.kind != "number":
            sets = SetColumn(spec, layout)
            names |= {f"s{index}": sets.met, f"leaves{index}": sets.leaves, f"n{index}": sets.words()}
    return names


def _judge(facts: Mapping[str, FactSpec], layout: Layout) -> list[str]:
    """Print ``judge(values)``. Of fact ``i`` a range is ``l<i>, h<i>``, what is likely of it ``a<i>, b<i>``."""
    number = {name: index for index, name in enumerate(facts)}
    values = ", ".join(f"f{index}" for index in number.values())
    loose = {name for atom in layout.loose for name in facts_of_atom(atom)}
    lines = ["def judge(values):", f" wide = near = {layout.all}"]
    if values:
        lines += [" try:", f"  {values} = get(values)", " except KeyError:", f"  {values} = get({{**whole, **values}})"]
    for name, i in number.items():
        if facts[name].kind != "number":
            lines += [
                " try:",
                f"  m = s{i}[f{i}.values]",
                " except KeyError:",
                f"  m = leaves{i}(f{i}.values)",
                f" wide &= m; k = f{i}.likely; near &= m if k is None else n{i}[k]",
            ]
            continue
        lines += [f" l{i} = f{i}.low; h{i} = f{i}.high; k = f{i}.likely"]
        if name in layout.levels:
            lines += [
                f" m = {look_up_range(name, layout, f'l{i}', f'h{i}')}",
                f" wide &= m; near &= m if k is None else {look_up(pieces(name, layout, 'both'), 'k')}",
            ]
        if name in loose:
            lines += [f" a{i}, b{i} = (l{i}, h{i}) if k is None else (k, k)"]
    return [*lines, *tests(layout, "wide", Terms(number, "l", "h")), *tests(layout, "near", Terms(number, "a", "b")), " return wide, near"]
