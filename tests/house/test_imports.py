"""What a command imports: nothing heavy that it does not need. Modules are counted, not time, which other work on the machine changes."""

import subprocess
import sys
from collections import defaultdict
from pathlib import Path

import pytest

SITE = str(Path(__file__).parents[2] / "profiles" / "caving-lens.yaml")
NEEDED = {
    "--help": {"typer"},
    f"plan {SITE}": {"typer", "pydantic", "yaml", "rich"},
    f"plan {SITE} --json -": {"typer", "pydantic", "yaml"},
    f"check {SITE}": {"typer", "pydantic", "yaml"},
    "rules list": {"typer", "pydantic", "yaml"},
}
"""The libraries that each command cannot do without; typer reads arguments by pydantic where that is installed."""
COME_ALONG = {
    "typer": {"annotated_doc", "click", "shellingham", "typing_extensions"},
    "pydantic": {"annotated_types", "pydantic_core", "typing_extensions", "typing_inspection", "importlib_metadata"},
    "yaml": {"_yaml", "cython_runtime"},
    "rich": {"pygments", "markdown_it", "mdurl"},
}
"""What the libraries import themselves."""
OF_THE_INTERPRETER = {"org", "sitecustomize", "usercustomize"}
"""What the interpreter looks for when it starts, or on its Java port."""
HEAVY_STANDARD = {"asyncio", "concurrent", "http", "multiprocessing", "sqlite3", "ssl", "tkinter", "unittest", "xml"}
"""Parts of the standard library that take long to import and that none of these commands needs."""
HEAVY_OWN = {"methodpick.review", "methodpick.why.explanation", "methodpick.tables", "methodpick.formats.html", "methodpick.formats.pdf"}
"""Parts of the program that belong to other commands."""
SHOWN_MS = 15.0


def imported(command):
    """Run a command and return the modules that it imported, with the milliseconds that each took without what it imported itself."""
    done = subprocess.run(
        [sys.executable, "-X", "importtime", "-m", "methodpick", *command.split()], capture_output=True, text=True, check=True
    )
    rows = [line.removeprefix("import time:").split("|") for line in done.stderr.splitlines() if line.startswith("import time:")]
    return {name.strip(): float(own) / 1000 for own, _, name in rows[1:]}


QUICK = ("--help", f"plan {SITE}")
LATER = pytest.mark.ci_only("starts one more process")


@pytest.mark.parametrize(
    "command", [pytest.param(command, id=command.replace(SITE, "SITE"), marks=() if command in QUICK else LATER) for command in NEEDED]
)
def test_a_command_imports_no_library_that_it_does_not_need(command):
    found = imported(command)
    took = defaultdict(float)
    for name, own_ms in found.items():
        took[name.partition(".")[0]] += own_ms
    allowed = NEEDED[command] | set().union(*(COME_ALONG[library] for library in NEEDED[command])) | {"methodpick"}
    known = allowed | OF_THE_INTERPRETER | sys.stdlib_module_names
    new = {name for name in took if name not in known and not name.startswith("_")}
    new |= took.keys() & HEAVY_STANDARD
    new |= {part for part in HEAVY_OWN if part in found}
    print(*(f"{name}: {ms:.0f} ms" for name, ms in sorted(took.items(), key=lambda item: -item[1]) if ms > SHOWN_MS), sep="\n")
    assert not new
