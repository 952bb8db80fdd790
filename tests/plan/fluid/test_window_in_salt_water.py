"""The density window in fresh and in salt water.

AASHTO construction specifications, table of slurry properties, from memory: 64.3 to 72 pcf, 2 pcf more in salt water. Sea
water holds about 19 g of chloride in a litre (common knowledge); half of that is where the rows for salt water begin (own).
"""

import pytest

from methodpick.ground.site import Chemistry
from methodpick.plan.pipeline import plan
from methodpick.units import PCF_KG_M3


@pytest.mark.parametrize(("chloride", "least_pcf", "most_pcf"), [(50, 64.3, 72.0), (10000, 64.3, 72.0), (19000, 66.3, 74.0)])
def test_salt_water_has_its_own_rows(site, book, chloride, least_pcf, most_pcf):
    wet = site("saturated-sand")
    conditions = wet.site.model_copy(update={"fluids_allowed": ("mineral",), "water_chemistry": Chemistry(chloride_mg_l=chloride)})
    for shaft in plan(wet.model_copy(update={"site": conditions}), book).shafts:
        assert shaft.slurry.fluid == "mineral"
        assert shaft.slurry.density_min_kg_m3 >= least_pcf * PCF_KG_M3 - 0.5
        assert shaft.slurry.density_max_kg_m3 == pytest.approx(most_pcf * PCF_KG_M3, abs=0.5)
        rules = {one.rule for one in shaft.cautions}
        assert ("mineral-in-salt-water" in rules) is (chloride > 10000)


def test_salt_that_is_only_possible_changes_nothing(site, book):
    wet = site("saturated-sand")
    conditions = wet.site.model_copy(update={"fluids_allowed": ("mineral",), "water_chemistry": None})
    shaft = plan(wet.model_copy(update={"site": conditions}), book).shafts[0]
    assert shaft.slurry.density_max_kg_m3 == pytest.approx(72 * PCF_KG_M3, abs=0.5)
