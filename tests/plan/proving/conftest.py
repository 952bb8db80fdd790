"""What the tests of the proofs of a whole way share: the checks of the plan of a small site."""

import pytest

from methodpick.plan.pipeline import plan

SITE = """methodpick: 1
site: {{name: Mill Road, units: si{site}}}
borings:
  - id: B
    depth: {deep}
    water: {water}
    layers:
{layers}
shafts:
  - {{id: P, boring: B, diameter: 1200, tip: {tip}{shaft}}}
"""
DRY = "[{reading: none_met}]"


@pytest.fixture(scope="session")
def made(read_text, book):
    """Plan a site of some layers, given as top, base and the rest of the line."""

    def of(*layers, tip, water=DRY, site="", shaft=""):
        lines = "\n".join(f"      - {{top: {top}, base: {base}, {words}}}" for top, base, words in layers)
        text = SITE.format(
            deep=layers[-1][1], water=water, layers=lines, tip=tip, site=f", {site}" if site else "", shaft=f", {shaft}" if shaft else ""
        )
        return plan(read_text(text), book).shafts[0]

    return of


@pytest.fixture(scope="session")
def found():
    """Give the checks of one proof."""
    return lambda shaft, proof: [check for check in shaft.checks if check.id == proof]
