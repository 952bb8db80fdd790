"""The estimator's factors: what the takeoff multiplies by, which end of each range is taken, and the rates."""

from __future__ import annotations

from math import isclose

from methodpick.records import record
from methodpick.site.estimate import NOTHING, CostLine, Estimate, UnpricedLine
from methodpick.site.result import LOST, STOCK, Takeoff
from methodpick.tables.cells import Cell, CellRef, MissingCell, NumberCell, SheetColumn, SheetNumbers, Worksheet
from methodpick.terms import FLUID_NAMES

NAME = "factors"
CHOICE = "which end is taken"
CHOICES = (
    ("overbreak", "ground overbreak"),
    ("swell", "swell of the spoil"),
    ("fluid", "fluid lost and its mix"),
    ("hours", "hours"),
    ("rates", "rates"),
)
ONE = Estimate(1.0, 1.0, 1.0)
LOW = 2
"""The column of the low value; likely and high follow. A choice stands there too."""


@record
class Factor:
    """A factor by its key, its name, its values in the reader's unit and that unit; a rate that is missing has no values."""

    key: str
    name: str
    values: Estimate | None
    unit: str
    why: str


@record
class EstimatorFactors:
    """All factors and the rows where they stand."""

    listed: tuple[Factor, ...]

    def cell(self, key: str, end: int) -> CellRef:
        """Return the cell of a factor at an end: 0 low, 1 likely, 2 high."""
        return CellRef(NAME, len(CHOICES) + self._row(key), LOW + end)

    def value(self, key: str, end: int) -> float:
        """Return a factor at an end; a rate that is missing counts as nothing until it is filled in."""
        values = self.listed[self._row(key)].values or NOTHING
        return (values.low, values.likely, values.high)[end]

    def has(self, key: str) -> bool:
        """Return whether there is such a factor."""
        return any(factor.key == key for factor in self.listed)

    def _row(self, key: str) -> int:
        return next(row for row, factor in enumerate(self.listed) if factor.key == key)


def choice(key: str) -> CellRef:
    """Return the cell that says which end of a range is taken: 1 low, 2 likely, 3 high."""
    return CellRef(NAME, next(row for row, (name, _) in enumerate(CHOICES) if name == key), LOW)


def make_factors(takeoff: Takeoff, numbers: SheetNumbers) -> EstimatorFactors:
    """Read the factors off a takeoff: shares as they were used, multiples of what the plan says by soil, the rates."""
    listed = [
        Factor("overbreak", "ground overbreak, times what the plan has by soil", ONE, "", "1 is the plan's own"),
        Factor("swell", "swell of the spoil, times what the plan has by soil", ONE, "", "1 is the plan's own"),
        Factor("free", "free fluid on the spoil, times the plan's", ONE, "", "1 is the plan's own"),
    ]
    lost = _share_lost(takeoff)
    if lost is not None:
        listed.append(Factor("lost", "fluid lost, share of the hole", lost, "", "as the takeoff has it"))
    for fluid, (shaft, stock) in stocked_holes(takeoff).items():
        listed.append(Factor(f"stock {fluid}", f"stock of {fluid}, times the hole of {shaft}", stock, "", "as the takeoff has it"))
    truck = takeoff.truck_m3
    if truck is not None:
        listed.append(
            Factor(
                "truck",
                "load of a truck",
                Estimate(truck, truck, truck).times(1 / numbers.cell_factor("m3")),
                numbers.cell_unit("m3"),
                "your rate, else the rulebook's",
            )
        )
    if takeoff.cost is not None:
        money = takeoff.cost.currency or "money"
        listed += [_rate(f"rate {row}", line, money, numbers) for row, line in enumerate(takeoff.cost.all_lines)]
    return EstimatorFactors(tuple(listed))


def _rate(key: str, line: CostLine | UnpricedLine, money: str, numbers: SheetNumbers) -> Factor:
    unit = numbers.cell_unit(line.unit)
    return Factor(
        key,
        f"rate: {line.item}",
        line.price.times(numbers.cell_factor(line.unit)) if isinstance(line, CostLine) else None,
        f"{money} a {unit}" if unit else money,
        "your rate" if isinstance(line, CostLine) else f"missing: '{line.rate}' in the site file, or fill it in here",
    )


def stocked_holes(takeoff: Takeoff) -> dict[str, tuple[str, Estimate]]:
    """Return for each fluid the shaft whose hole asks for its stock, and the stock over that hole."""
    programmes = {shaft.id: shaft.fluid_programme for shaft in takeoff.site.plan.shafts}
    held = [(shaft.shaft, programme) for shaft in takeoff.shafts if (programme := programmes[shaft.shaft]) is not None]
    found: dict[str, tuple[str, Estimate]] = {}
    for line in takeoff.site_lines:
        if not line.item.endswith(STOCK):
            continue
        fluid = line.item.removesuffix(STOCK)
        for shaft, programme in held:
            asks = FLUID_NAMES[programme.fluid] == fluid and isclose(programme.stock_m3, line.amount.likely, rel_tol=1e-9)
            if asks and programme.hole_m3 > 0:
                found.setdefault(fluid, (shaft, line.amount.times(1 / programme.hole_m3)))
    return found


def _share_lost(takeoff: Takeoff) -> Estimate | None:
    for shaft in takeoff.shafts:
        for hole, lost in zip(shaft.lines, shaft.lines[1:], strict=False):
            if lost.item.endswith(LOST) and hole.amount.likely > 0:
                return lost.amount.times(1 / hole.amount.likely)
    return None


def _ends(values: Estimate | None) -> tuple[Cell, Cell, Cell]:
    if values is None:
        return MissingCell(), MissingCell(), MissingCell()
    low, likely, high = (NumberCell(value, 4, given=True) for value in (values.low, values.likely, values.high))
    return low, likely, high


def factors_table(factors: EstimatorFactors, numbers: SheetNumbers) -> Worksheet:
    """Return the sheet of factors; what may be changed is marked as given."""
    rows: list[tuple[Cell, ...]] = [
        (CHOICE, name, NumberCell(2.0, 0, given=True, choices=(1, 2, 3)), None, None, "", "1 low, 2 likely, 3 high") for _, name in CHOICES
    ]
    rows += [
        (
            "rate" if factor.key.startswith("rate ") else "factor",
            numbers.text(factor.name),
            *_ends(factor.values),
            numbers.text(factor.unit),
            numbers.text(factor.why),
        )
        for factor in factors.listed
    ]
    return Worksheet(
        NAME,
        "Factors of the estimator",
        (
            SheetColumn("kind", width=18),
            SheetColumn("factor", width=54),
            SheetColumn("low", width=12),
            SheetColumn("likely", width=12),
            SheetColumn("high", width=12),
            SheetColumn("unit", width=16),
            SheetColumn("note", width=34),
        ),
        tuple(rows),
        ("Change the coloured cells: the sheets 'takeoff' and 'cost' follow. Where the plan differs by soil the factor multiplies it.",),
    )
