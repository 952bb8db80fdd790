"""The items of a bid as they are handed out: quantities as the specification pays them, with cost and price where rates give one."""

from __future__ import annotations

from methodpick.records import record
from methodpick.site.estimate import Estimate
from methodpick.vocabulary.pay_items import PayMeasure


@record
class BidItem:
    """An item of the bid.

    ``quantity`` is None where the bid schedule says it and the site file does not. ``cost`` is what the item carries by the user's rates
    and ``amount`` that with overhead and margin; ``price`` is the amount of one unit. They are None without rates. ``lacking`` names the
    work in it that has no rate, without which its money is incomplete. ``covers`` names the lines of cost that it carries; ``shares`` holds
    the share of each line that it carries, by the line's place among all lines of the cost.
    """

    measure: PayMeasure
    name: str
    unit: str
    quantity: float | None
    formula: str
    cost: Estimate | None
    amount: Estimate | None
    price: Estimate | None
    lacking: tuple[str, ...]
    covers: tuple[str, ...]
    shares: tuple[tuple[int, float], ...] = ()
    provisional: bool = False


@record
class BidSheet:
    """The bid of a site: its items, where lengths are measured from, after which source, and the sum.

    ``cost`` is the sum of what the items carry, ``amount`` that with overhead and margin; what has no rate is in neither and is named in
    ``lacking``. ``incidental`` names the work that no item measures, with the items that carry it.
    """

    currency: str
    items: tuple[BidItem, ...]
    measured_from: str
    source: str
    confidence: str
    origin: str
    overhead_percent: float | None
    margin_percent: float | None
    cost: Estimate | None
    amount: Estimate | None
    lacking: tuple[str, ...]
    incidental: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]
