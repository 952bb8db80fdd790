"""The commands, each with the place of its function and its help; the file of one is imported when it is called for."""

from __future__ import annotations

from importlib import import_module
from typing import Any

COMMANDS = {
    "plan": ("plan:plan", "Plan the construction method of the shafts."),
    "programme": ("programme:programme", "Plan, take off or verify many sites in parallel, and go on where a run was stopped."),
    "takeoff": ("report:takeoff", "Take off quantities, casing strings, hours and cost of a site."),
    "compare": ("compare:compare", "Set the ways to build a site side by side, or two revisions of it."),
    "sheets": ("report:sheets", "Make every sheet of a site: schedules, control sheets, takeoff, hold points, workbook."),
    "report": ("report:report", "Write the report as HTML or PDF, or the draft of the installation plan as Markdown."),
    "draw": ("report:draw", "Draw the strip log, the slurry window, the depth-volume curve or the site section."),
    "why": ("plan:why", "Say why a depth is held as it is, why not otherwise, and what would change it."),
    "verify": ("site_files:verify", "Verify a written plan against its ground, the rules and itself."),
    "check": ("site_files:check", "Read a site file or a boring log and list what is doubtful in it."),
    "convert": ("site_files:convert", "Turn a boring log into a site file."),
    "new": ("site_files:new", "Write a commented site file to start from."),
    "schema": ("site_files:schema", "Print the JSON Schema of the site file, of rule files or of overlays, for editors."),
    "formulas": ("rules:formulas", "List the formulas, or print one with its source, range and example."),
    "rules": ("rules:app", "Look at the rulebook and check it."),
}
"""The commands: the file in this folder and the function in it that each one is, and its help."""


def function_of(name: str) -> Any:
    """Return the function that a command is, or the group of commands. Raises KeyError where there is none of that name."""
    module, _, function = COMMANDS[name][0].partition(":")
    return getattr(import_module(f"methodpick.cli.{module}"), function)
