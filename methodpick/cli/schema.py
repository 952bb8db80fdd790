"""``methodpick schema``: the JSON Schemas of the site file, of rule files and of overlays, for editors."""

from __future__ import annotations

from typing import Annotated, Literal

import typer

Described = Literal["site", "rules", "overlay"]


def schema(kind: Annotated[Described, typer.Argument(help="Of the site file, of a rule file, or of an overlay.")] = "site") -> None:
    """Print a JSON Schema."""
    import json

    if kind == "site":
        from methodpick.imports.site_keys import site_schema

        found = site_schema()
    else:
        from methodpick.cli.options import load_rulebook
        from methodpick.engine.schema import overlay_schema, rules_schema

        found = (rules_schema if kind == "rules" else overlay_schema)(load_rulebook(None, "fhwa"))
    typer.echo(json.dumps(found, indent=1, ensure_ascii=False))
