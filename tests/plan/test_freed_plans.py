"""What a plan is made from lives as long as somebody asks for it: it holds itself nowhere, and nobody needs the collector of cycles."""

import gc
from weakref import ref

import pytest

from methodpick.plan.pipeline import plan
from methodpick.plan.plan_context import PlanContext


@pytest.fixture
def no_collector():
    """Collect nothing while a test runs."""
    gc.collect()
    gc.disable()
    yield
    gc.enable()


@pytest.mark.usefixtures("no_collector")
@pytest.mark.parametrize("name", ["caving-lens", "stiff-clay-thin"])
def test_a_plan_is_freed_with_the_last_that_asks_for_it(book, site, name):
    shaft = plan(site(name), book).shafts[0]
    assert shaft.alternates is not None  # the other ways are searched by then
    context = ref(shaft.other_ways.made_from)
    assert isinstance(context(), PlanContext)
    del shaft
    assert context() is None


@pytest.mark.usefixtures("no_collector")
def test_a_context_with_other_sizes_keeps_the_one_whose_searches_it_shares(book, site):
    context = plan(site("caving-lens"), book).shafts[0].other_ways.made_from
    path = context.best()
    sized = context.with_sizes(path, ())
    del context
    assert [family for family, _ in sized.paths().others], "each of them is proved by the context that the sizes were given to"
