"""The takeoff as JSON, format ``methodpick-takeoff/1``: SI, byte-stable, without the plans it was made from."""

from __future__ import annotations

import json

from methodpick.formats.json import tree_of
from methodpick.site.result import Takeoff


def takeoff_json(takeoff: Takeoff) -> str:
    """Write a takeoff. Keys and lists keep a fixed order; floats are rounded to 6 decimals; sentences are in SI."""
    plan = takeoff.site.plan
    tree = {
        "format": takeoff.format,
        "tool_version": plan.tool_version,
        "rulebook": tree_of(plan.rulebook),
        "input": tree_of(plan.input),
        "site": plan.site_name,
        "assignments": tree_of(takeoff.site.assignments),
        "shafts": tree_of(takeoff.shafts),
        "site_lines": tree_of(takeoff.site_lines),
        "totals": tree_of(takeoff.totals),
        "yard": tree_of(takeoff.yard),
        "hours": tree_of(takeoff.hours),
        "cost": tree_of(takeoff.cost),
        "notes": tree_of(takeoff.notes),
    }
    return json.dumps(tree, ensure_ascii=False, indent=1, allow_nan=False) + "\n"
