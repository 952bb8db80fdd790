"""``methodpick schema``: the JSON Schema of the site file."""

from __future__ import annotations

import typer


def schema() -> None:
    """Print the JSON Schema of the site file."""
    import json

    from methodpick.imports.schema import site_schema

    typer.echo(json.dumps(site_schema(), indent=1, ensure_ascii=False))
