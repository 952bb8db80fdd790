"""What a command imports: nothing heavy that it does not need. Modules are counted, not time, which other work on the machine changes."""

import ast
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
OF_OTHERS = {
    "--help": {
        "methodpick.cli.plan",
        "methodpick.imports",
        "methodpick.ground",
        "methodpick.engine",
        "methodpick.plan",
        "methodpick.formats",
    },
    f"plan {SITE}": {"methodpick.compare", "methodpick.engine.check", "methodpick.formats.json", "methodpick.ground.rates"},
    f"check {SITE}": {"methodpick.plan", "methodpick.facts", "methodpick.engine", "methodpick.document", "methodpick.drawings"},
    "rules list": {"methodpick.plan", "methodpick.facts", "methodpick.ground.site", "methodpick.document", "methodpick.drawings"},
}
OF_OTHERS[f"plan {SITE} --json -"] = {"methodpick.engine.check"}
"""Parts of the program that a command does not need, whether they take long or not: the next one that it imports may."""
HEAVY_OWN = {
    *("methodpick.review", "methodpick.why.explanation", "methodpick.tables", "methodpick.formats.report"),
    *(
        "methodpick.formats.sheets",
        "methodpick.programme",
        "methodpick.imports.ags4",
        "methodpick.imports.ags3",
        "methodpick.imports.diggs",
    ),
    *("methodpick.imports.tables", "methodpick.cli.compare", "methodpick.cli.report", "methodpick.cli.programme"),
}
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
    new |= {part for part in HEAVY_OWN | OF_OTHERS[command] if part in found}
    print(*(f"{name}: {ms:.0f} ms" for name, ms in sorted(took.items(), key=lambda item: -item[1]) if ms > SHOWN_MS), sep="\n")
    assert not new


AT_IMPORT = """
import dataclasses, re
counts = {"patterns": 0, "data classes": 0}
def counting(what, call):
    def counted(*given, **named):
        counts[what] += sys._getframe(1).f_globals.get("__name__", "").startswith("methodpick")
        return call(*given, **named)
    return counted
import sys, typer, pydantic, rich.console, yaml
re.compile, dataclasses.dataclass = counting("patterns", re.compile), counting("data classes", dataclasses.dataclass)
import methodpick.cli.plan, methodpick.imports.site_file, methodpick.site.planning, methodpick.document.report, methodpick.formats.json
import methodpick.engine.kept_book, methodpick.why.within_range
from methodpick.ground.quantity import Model
kinds = list(Model.__subclasses__())
counts["models"], counts["validators"] = len(kinds), sum(kind.__pydantic_complete__ for kind in kinds)
counts["records"] = sum("__record__" in vars(kind) for name, module in list(sys.modules.items()) if name.startswith("methodpick")
    for kind in vars(module).values() if isinstance(kind, type) and kind.__module__ == name)
print(counts)
"""
MOST_DATA_CLASSES = 2
"""Those that a record cannot be: with a field that is not an argument, or more attributes than fields."""


def test_importing_compiles_no_pattern_and_builds_no_validator():
    """Counted, not timed: what is not used is not paid for, by any module that a plan imports."""
    done = subprocess.run([sys.executable, "-c", AT_IMPORT], capture_output=True, text=True, check=True)
    counts = ast.literal_eval(done.stdout)
    assert (counts["patterns"], counts["validators"]) == (0, 0)
    assert counts["data classes"] <= MOST_DATA_CLASSES
    assert counts["records"] > 200
    assert counts["models"] > 25
