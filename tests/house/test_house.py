"""The house rules that a reader can count on: shape, words, documentation, sources, cases."""

import ast
import re
from pathlib import Path

import pytest
from measure_house import FREE_FOLDERS, MANY_PARAMETERS, circles, functions, imports, module_name, nodes, parameters, sources

import methodpick
from methodpick.cli.app import COMMANDS
from methodpick.engine.load import load_rulebook
from methodpick.resources import folder

TOP = Path(__file__).parents[2]
PACKAGE = Path(methodpick.__file__).parent
SOURCES = sorted(path for path in PACKAGE.rglob("*.py") if "_data" not in path.parts)
FORBIDDEN = re.compile(r"\bTODO\b|\bFIXME\b|NotImplementedError|pragma: no cover|type: ignore")
CHECKOUT = (TOP / "pyproject.toml").exists()
MOST_LINES, MOST_FUNCTION_LINES = 400, 42
NO_NAME = re.compile(
    "utils|helpers|manager|base|core|misc|common|own|.*_own|told|.*_told|telling|quick|alike|rails|opening|outside|spoken|whole|voice"
)
NO_VERB = {"Give", "Gives", "Tell", "Tells", "Say", "Says"}


def tree_of(path):
    return sources(PACKAGE.parent)[module_name(path, PACKAGE.parent)][1]


def inside(path):
    return path.relative_to(PACKAGE).as_posix()


def test_files_stay_short():
    assert [inside(path) for path in SOURCES if path.read_text(encoding="utf-8").count("\n") > MOST_LINES] == []


def test_functions_stay_short():
    long = {
        function.name
        for path in SOURCES
        for function in functions(tree_of(path))
        if function.end_lineno - function.lineno + 1 > MOST_FUNCTION_LINES
    }
    assert long == set(), f"longer than {MOST_FUNCTION_LINES} lines"


def test_functions_take_a_few_records():
    """Seven loose arguments are a record; only a formula and a command have as many arguments as they have."""
    many = {
        function.name
        for path in SOURCES
        if path.relative_to(PACKAGE).parts[0] not in FREE_FOLDERS
        for function in functions(tree_of(path))
        if parameters(function) >= MANY_PARAMETERS
    }
    assert many == set(), f"{MANY_PARAMETERS} or more parameters"


def test_modules_import_each_other_in_no_circle():
    """Also not for types only, and not inside a function: both hide a circle."""
    assert circles(imports(sources(PACKAGE.parent))) == []


def test_a_circle_is_found_also_where_an_import_is_for_types_only():
    files = {"a": "if TYPE_CHECKING:\n    from b import thing\n", "b": "def f():\n    import c\n", "c": "import a\n", "d": "import a\n"}
    assert circles(imports({name: (None, ast.parse(text)) for name, text in files.items()})) == [("a", "b", "c")]


def undescribed(tree, where):
    """Return what is public in a module and has no docstring: the module, its functions and classes, and their methods."""
    public = [node for node in tree.body if isinstance(node, (ast.FunctionDef, ast.ClassDef)) and not node.name.startswith("_")]
    inner = [
        (f"{node.name}.{method.name}", method)
        for node in public
        if isinstance(node, ast.ClassDef)
        for method in node.body
        if isinstance(method, ast.FunctionDef) and not method.name.startswith("_")
    ]
    named = [("the module", tree), *((node.name, node) for node in public), *inner]
    return [f"{where}: {name}" for name, node in named if not ast.get_docstring(node)]


def test_everything_public_is_described():
    assert [name for path in SOURCES for name in undescribed(tree_of(path), inside(path))] == []


def test_no_stubs_and_no_waivers():
    for path in SOURCES:
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
            assert not FORBIDDEN.search(line), f"{inside(path)}:{number}"


def test_no_file_has_a_name_that_says_nothing():
    assert {inside(path) for path in SOURCES if NO_NAME.fullmatch(path.stem)} == set()


def test_nothing_is_called_one():
    """A stratum, an interval, a casing: what a loop runs over has a name."""
    found = set()
    for path in SOURCES:
        for node in nodes(tree_of(path)):
            stored = isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store) and node.id
            named = isinstance(node, (ast.FunctionDef, ast.ClassDef)) and node.name
            if {stored, named, isinstance(node, ast.arg) and node.arg} & {"one", "one_"}:
                found.add(f"{inside(path)}:{node.lineno}")
    assert found == set()


def test_docstrings_begin_with_a_verb_of_the_trade():
    """Return, Compute, Read, Write, Check ...: what somebody gives, tells or says is no behaviour of a program."""
    found = [
        f"{inside(path)}: {node.name}: {text.splitlines()[0]}"
        for path in SOURCES
        for node in nodes(tree_of(path))
        if isinstance(node, (ast.FunctionDef, ast.ClassDef)) and (text := ast.get_docstring(node)) and text.split()[0] in NO_VERB
    ]
    assert found == []


@pytest.mark.skipif(not CHECKOUT, reason="only a checkout has a top level")
def test_the_top_level_is_the_fixed_one():
    allowed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "LICENSE", "methodpick", "rules", "tests", "profiles", "build", "dist"}
    found = {path.name for path in TOP.iterdir() if not path.name.startswith(".") and not path.name.endswith(".egg-info")}
    assert found <= allowed


@pytest.mark.skipif(not CHECKOUT, reason="only a checkout has a README")
def test_every_command_and_exit_code_is_in_the_readme():
    text = (TOP / "README.md").read_text(encoding="utf-8")
    for name in COMMANDS:
        assert f"methodpick {name}" in text, name
    assert "Exit codes" in text
    for heading in ("## Run", "## Test"):
        block = text.split(heading + "\n")[1].split("```")[1].strip()
        assert "\n" not in block, "one line in the first fenced block"
        assert ".venv" in block


@pytest.mark.skipif(not CHECKOUT, reason="only a checkout has DEVELOPERS.md")
def test_the_developers_page_names_every_folder():
    text = (TOP / "DEVELOPERS.md").read_text(encoding="utf-8")
    for name in sorted({path.relative_to(PACKAGE).parts[0] for path in SOURCES if path.parent != PACKAGE}):
        assert f"{name}/" in text, name


@pytest.mark.skipif(not CHECKOUT, reason="only a checkout has DEVELOPERS.md")
def test_what_the_developers_page_names_is_there():
    """Every file, and every name that it says a file has: `NAME` of `file.py`."""
    text = (TOP / "DEVELOPERS.md").read_text(encoding="utf-8")
    files = [path.relative_to(TOP) for folder in (PACKAGE, TOP / "tests") for path in folder.rglob("*.py")]
    found = {
        word: [path for path in files if f"/{path.as_posix()}".endswith(f"/{word}")]
        for word in re.findall(r"(?<![*\w/])[\w/]+\.py\b", text)
    }
    assert [word for word, paths in found.items() if not paths] == []
    for name, word in re.findall(r"`(\w+)` (?:of|in) `([\w/]+\.py)`", text):
        assert any(re.search(rf"\b{name}\b", (TOP / path).read_text(encoding="utf-8")) for path in found[word]), f"{name} of {word}"


def test_every_rule_has_source_reason_and_cases(book):
    for rule in book.rules:
        assert rule.source, rule.id
        assert rule.because.endswith("."), rule.id
        assert len(rule.because) >= 25, rule.id
        assert rule.cases, rule.id
        assert all(one.key in book.sources and one.where for one in rule.source), rule.id


def test_every_limit_has_a_known_source_and_confidence(book):
    for name, limit in book.limits.items():
        assert limit.source in book.sources, name
        assert limit.where or limit.note, name


def test_every_fact_is_meant_and_missing_ones_are_asked(book):
    for name, spec in book.catalogue.facts.items():
        assert spec.meaning, name
        if spec.origin in {"logged", "tested", "site"} and spec.scope in {"site", "shaft"}:
            assert spec.ask, name


def test_every_ground_of_practice_has_a_rule(book):
    """The grounds that the trade names, each with a rule that can fire there (common practice, no source)."""
    rules = " ".join(rule.id for rule in book.rules)
    for word in (
        "squeez",
        "granular-below-water",
        "lacks-cohesion",
        "cobbles",
        "artesian",
        "karst",
        "weathered",
        "slaking",
        "socket",
        "loess",
        "expansive",
        "peat",
        "contaminated",
        "over-water",
        "sloping",
        "neighbours",
        "fill",
        "till",
    ):
        assert word in rules, word


def test_tables_leave_no_gap_over_soils(book):
    from methodpick.vocabulary.values import known

    for name in (
        "unit_weight",
        "permeability",
        "cohesion",
        "behaviour",
        "stand_up",
        "seals",
        "penetration",
        "softens",
        "overbreak",
        "swell",
        "drilling_rate",
        "embedment",
    ):
        table = book.tables[name]
        for soil in book.catalogue.facts["soil"].words:
            place = {key: book.catalogue.facts[key].domain for key in table.inputs} | {"soil": known(soil)}
            assert set(table.look_up(place)) == set(table.outputs), (name, soil)


def test_examples_say_why_they_are_interesting():
    for path in folder("profiles").glob("*.yaml"):
        assert path.read_text(encoding="utf-8").startswith("#"), path.name


def test_help_starts_without_the_heavy_parts():
    import subprocess
    import sys

    code = (
        "import sys, methodpick.cli.app; heavy = {'rich.console', 'hypothesis', 'yaml', 'methodpick.engine',"
        " 'methodpick.plan.pipeline'} & set(sys.modules); print(sorted(heavy))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_the_shipped_rulebook_loads_from_where_it_was_installed():
    assert load_rulebook(folder("rules")).rules
