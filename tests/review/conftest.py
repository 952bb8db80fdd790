"""Written plans of the examples, as maps and lists that a test may change."""

import copy
import json
from functools import cache

import pytest

from methodpick.formats.json import plan_json


@pytest.fixture(scope="session")
def tree(planned):
    """Return a function that gives a fresh copy of the JSON of an example's plan."""
    text = cache(lambda name: plan_json(planned(name)))
    read = cache(lambda name: json.loads(text(name)))
    return lambda name: copy.deepcopy(read(name))
