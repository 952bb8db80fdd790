"""The estimator's rates: hours and prices with their spread, and relative costs that the search ranks methods by.

Nothing here has a value of this project: what is not given is not priced. Prices are in any currency, named once.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal

from methodpick.ground.quantity import (
    HOURS,
    NUMBER,
    PER_HOUR,
    PER_LENGTH,
    PER_MASS,
    PER_VOLUME,
    POUR_SPEED,
    SPEED,
    VOLUME,
    Band,
    Model,
    Percent,
    UserText,
    key,
    need,
)
from methodpick.terms import SoilClass

Material = Literal[SoilClass, "any"]
HoursBand = Annotated[Band, HOURS]
Money = Annotated[Band, NUMBER]
Ratio = Annotated[float, NUMBER]


class DrillingRate(Model):
    """How fast a tool drills a material, in a dry hole, a full one or either, and what a length wears off it."""

    material: Material = need("material")
    tool: UserText = need("tool", min_length=1)
    hole: Literal["dry", "full", "any"] = key("hole", "any")
    speed_m_h: Annotated[Band, SPEED] = need("speed")
    wear_per_m: Annotated[Band, PER_LENGTH] | None = key("wear")


class CasingRates(Model):
    """Casing: hours to set, pull and splice one, steel to buy by mass, a length rented or of the yard for a working day."""

    set_h: HoursBand | None = key("set_hours")
    pull_h: HoursBand | None = key("pull_hours")
    splice_h: HoursBand | None = key("splice_hours")
    buy_per_kg: Annotated[Band, PER_MASS] | None = key("buy")
    rent_per_m_day: Annotated[Band, PER_LENGTH] | None = key("rent_a_day")
    own_per_m_day: Annotated[Band, PER_LENGTH] | None = key("own_a_day")


class FluidRates(Model):
    """Support fluid: hours to fill a hole, the plant once, what goes into it and what it costs to be rid of it."""

    fill_h: HoursBand | None = key("fill_hours")
    plant: Money | None = key("plant")
    mineral_per_kg: Annotated[Band, PER_MASS] | None = key("bentonite")
    polymer_per_kg: Annotated[Band, PER_MASS] | None = key("polymer")
    soda_ash_per_kg: Annotated[Band, PER_MASS] | None = key("soda_ash")
    water_per_m3: Annotated[Band, PER_VOLUME] | None = key("water")
    disposal_per_m3: Annotated[Band, PER_VOLUME] | None = key("disposal")


class PourRates(Model):
    """Concrete: its price, how fast it is placed, the load of a truck."""

    concrete_per_m3: Annotated[Band, PER_VOLUME] | None = key("concrete")
    speed_m3_h: Annotated[Band, POUR_SPEED] | None = key("speed")
    truck_m3: Annotated[float, VOLUME] | None = key("truck", gt=0)


class RelativeCosts(Model):
    """Costs relative to a metre drilled dry, by which the search ranks methods; each goes before the rulebook's."""

    cost_dry_m: Ratio | None = key("cost_dry_m", ge=0)
    cost_water_m: Ratio | None = key("cost_water_m", ge=0)
    cost_polymer_m: Ratio | None = key("cost_polymer_m", ge=0)
    cost_mineral_m: Ratio | None = key("cost_mineral_m", ge=0)
    cost_cased_dry_m: Ratio | None = key("cost_cased_dry_m", ge=0)
    cost_cased_balanced_m: Ratio | None = key("cost_cased_balanced_m", ge=0)
    cost_cased_plug_m: Ratio | None = key("cost_cased_plug_m", ge=0)
    cost_string: Ratio | None = key("cost_string", ge=0)
    cost_casing_m: Ratio | None = key("cost_casing_m", ge=0)
    cost_permanent_m: Ratio | None = key("cost_permanent_m", ge=0)
    cost_advance_vibrated_m: Ratio | None = key("cost_advance_vibrated_m", ge=0)
    cost_advance_twisted_m: Ratio | None = key("cost_advance_twisted_m", ge=0)
    cost_advance_oscillated_m: Ratio | None = key("cost_advance_oscillated_m", ge=0)
    cost_advance_driven_m: Ratio | None = key("cost_advance_driven_m", ge=0)
    cost_plant_vibrated: Ratio | None = key("cost_plant_vibrated", ge=0)
    cost_plant_twisted: Ratio | None = key("cost_plant_twisted", ge=0)
    cost_plant_driven: Ratio | None = key("cost_plant_driven", ge=0)
    cost_plant_oscillated: Ratio | None = key("cost_plant_oscillated", ge=0)
    cost_hire_vibrated: Ratio | None = key("cost_hire_vibrated", ge=0)
    cost_hire_twisted: Ratio | None = key("cost_hire_twisted", ge=0)
    cost_hire_driven: Ratio | None = key("cost_hire_driven", ge=0)
    cost_hire_oscillated: Ratio | None = key("cost_hire_oscillated", ge=0)
    cost_plant_water: Ratio | None = key("cost_plant_water", ge=0)
    cost_plant_polymer: Ratio | None = key("cost_plant_polymer", ge=0)
    cost_plant_mineral: Ratio | None = key("cost_plant_mineral", ge=0)
    cost_fill: Ratio | None = key("cost_fill", ge=0)
    cost_seal_test: Ratio | None = key("cost_seal_test", ge=0)
    cost_smeared_m: Ratio | None = key("cost_smeared_m", ge=0)
    cost_exchange: Ratio | None = key("cost_exchange", ge=0)
    cost_tremie: Ratio | None = key("cost_tremie", ge=0)
    cost_should_m: Ratio | None = key("cost_should_m", ge=0)
    cost_point_m: Ratio | None = key("cost_point_m", ge=0)


class Rates(RelativeCosts):
    """All of the key ``rates`` of a site file. Overhead is a share of the cost, margin one of cost and overhead.

    A rig that stands on site costs as one that works where ``rig_standing_per_h`` is not given.
    """

    currency: UserText = key("currency", "")
    rig_per_h: Annotated[Band, PER_HOUR] | None = key("rig")
    rig_standing_per_h: Annotated[Band, PER_HOUR] | None = key("rig_standing")
    mobilisation: Money | None = key("mobilisation")
    cage_each: Money | None = key("cage")
    trial_shaft_each: Money | None = key("trial_shaft")
    overhead_percent: Percent | None = key("overhead", ge=0, le=100)
    margin_percent: Percent | None = key("margin", ge=0, le=100)
    tubes_per_m: Annotated[Band, PER_LENGTH] | None = key("tubes")
    drilling: tuple[DrillingRate, ...] = key("drilling", ())
    casing: CasingRates = key("casing", CasingRates.model_construct())
    fluid: FluidRates = key("fluid", FluidRates.model_construct())
    pour: PourRates = key("pour", PourRates.model_construct())
    clean_h: HoursBand | None = key("clean_hours")
    cage_h: HoursBand | None = key("cage_hours")
    move_h: HoursBand | None = key("move_hours")
    spoil_per_m3: Annotated[Band, PER_VOLUME] | None = key("spoil")

    @property
    def relative(self) -> Mapping[str, float]:
        """Return the relative costs that are given, by the names that ``rules/limits.yaml`` has for them.

        >>> Rates(cost_dry_m=1.5).relative
        {'cost_dry_m': 1.5}
        """
        values = {name: getattr(self, name) for name in RelativeCosts.model_fields}
        return {name: value for name, value in values.items() if value is not None}

    @property
    def priced(self) -> bool:
        """Return whether anything beside relative costs is given."""
        return bool(self.model_fields_set - set(RelativeCosts.model_fields) - {"currency", "overhead_percent", "margin_percent"})
