"""A model that is imported late: what it finds wrong is told as by a field of the model itself."""

import pytest
from pydantic import ValidationError

from methodpick.ground.rates import Rates
from methodpick.ground.site import Site

BORINGS = [{"id": "B-1"}]
WRONG = (
    ({"bogus": 1}, ("rates", "bogus")),
    ({"casing": {"set_hours": [2, 1]}}, ("rates", "casing", "set_hours")),
    ({"drilling": [{"material": "clay", "tool": "", "speed": 1}]}, ("rates", "drilling", 0, "tool")),
    ([1], ("rates",)),
)


@pytest.mark.parametrize(("rates", "place"), WRONG)
def test_what_is_wrong_with_the_rates_is_told_at_its_place(rates, place):
    with pytest.raises(ValidationError) as found:
        Site.model_validate({"borings": BORINGS, "rates": rates})
    (error,) = found.value.errors()
    with pytest.raises(ValidationError) as alone:
        Rates.model_validate(rates)
    (same,) = alone.value.errors()
    assert error["loc"] == place == ("rates", *same["loc"])
    assert (error["type"], error["msg"]) == (same["type"], same["msg"])


def test_rates_are_kept_as_they_are_given():
    rates = Rates(currency="EUR")
    assert Site(borings=BORINGS, rates=rates).rates is rates
    assert Site.model_validate({"borings": BORINGS, "rates": {"currency": "EUR"}}).rates == rates
    assert Site(borings=BORINGS).rates is None
    assert Site(borings=BORINGS, rates=None).rates is None
