"""Hours and cost, from the user's rates only."""

from __future__ import annotations

from dataclasses import dataclass

from methodpick.site.result.takeoff import Range


@dataclass(frozen=True, slots=True)
class HoursRow:
    """The hours of one shaft by kind of work; None where the user's rates do not say.

    ``by_rates`` tells whether they come from the user's rates; else they are the planning hours of the plan's stages.
    """

    shaft: str
    count: int
    drill: Range | None
    casing: Range | None
    fluid: Range | None
    clean: Range | None
    cage: Range | None
    pour: Range | None
    pull: Range | None
    move: Range | None
    total: Range
    by_rates: bool
    lacking: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CostLine:
    """A line of cost over all shafts, with its formula.

    ``amount`` is ``quantity`` in ``unit`` times ``price``, end by end; ``of`` names the items of the takeoff's sums that the
    quantity adds up, and is empty where it is none of them.
    """

    item: str
    amount: Range
    formula: str
    quantity: Range
    unit: str
    price: Range
    shafts: tuple[tuple[str, Range], ...] = ()
    of: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CostSheet:
    """The cost of the work that the user's rates price; ``lacking`` names what they do not."""

    currency: str
    lines: tuple[CostLine, ...]
    total: Range
    lacking: tuple[str, ...]
