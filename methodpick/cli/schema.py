"""``methodpick schema``: the JSON Schemas of the site file, of rule files and of overlays, for editors."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import typer


class Kind(StrEnum):
    """What is described."""

    SITE = "site"
    RULES = "rules"
    OVERLAY = "overlay"


def schema(kind: Annotated[Kind, typer.Argument(help="Of the site file, of a rule file, or of an overlay.")] = Kind.SITE) -> None:
    """Print a JSON Schema."""
    import json

    if kind is Kind.SITE:
        from methodpick.imports.site_schema import site_schema

        found = site_schema()
    else:
        from methodpick.cli.reading import rulebook
        from methodpick.engine.schema import overlay_schema, rules_schema

        found = (rules_schema if kind is Kind.RULES else overlay_schema)(rulebook(None, "fhwa", []))
    typer.echo(json.dumps(found, indent=1, ensure_ascii=False))
