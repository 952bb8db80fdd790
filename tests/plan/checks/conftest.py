"""What the tests of the proofs share: the shipped limits, and how a result ranks."""

import pytest

from methodpick.plan.checks.inputs import ProvedPlace
from methodpick.plan.result.checks import CHECK_RESULTS


@pytest.fixture(scope="session")
def limits(book):
    return book.limits


@pytest.fixture(scope="session")
def place():
    return ProvedPlace(stage=4, top_m=0.0, base_m=10.0)


@pytest.fixture(scope="session")
def rank():
    """Give the rank of the worst result of some checks; a higher one is worse."""
    return lambda checks: max(CHECK_RESULTS.index(check.result) for check in checks)


@pytest.fixture(scope="session")
def usable():
    """Give whether the worst result of some checks is one that a plan may be built on."""
    worst = CHECK_RESULTS.index("open_range")
    return lambda checks: all(CHECK_RESULTS.index(check.result) <= worst for check in checks)
