"""A whole site that is taken off, for the documents about it."""

import pytest

from methodpick.site.planning import plan_site
from methodpick.site.site_takeoff import take_off


@pytest.fixture(scope="session")
def viaduct(site, book):
    planned = plan_site(site("viaduct"), book, path="viaduct.yaml", digest="0" * 64)
    return take_off(site("viaduct"), planned, book)
