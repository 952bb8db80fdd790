import json
import re
import subprocess
import sys

import pytest
import yaml
from command_line import run, run_as_process

from methodpick.cli.app import COMMANDS, command_named
from methodpick.document.shaft import HANGS_ON
from methodpick.resources import folder

AGS = """"GROUP","PROJ"
"HEADING","PROJ_ID"
"UNIT",""
"TYPE","ID"
"DATA","HR1"

"GROUP","LOCA"
"HEADING","LOCA_ID","LOCA_TYPE","LOCA_GL","LOCA_FDEP"
"UNIT","","","m","m"
"TYPE","ID","PA","2DP","2DP"
"DATA","BH1","CP","10.00","20.00"
"DATA","BH2","CP","11.00","20.00"

"GROUP","GEOL"
"HEADING","LOCA_ID","GEOL_TOP","GEOL_BASE","GEOL_DESC"
"UNIT","","m","m",""
"TYPE","ID","2DP","2DP","X"
"DATA","BH1","0.00","4.00","Medium dense brown SAND"
"DATA","BH1","4.00","20.00","Stiff grey CLAY"
"DATA","BH2","0.00","20.00","Stiff grey CLAY"

"GROUP","WSTG"
"HEADING","LOCA_ID","WSTG_DPTH"
"UNIT","","m"
"TYPE","ID","2DP"
"DATA","BH1","2.00"
"""


@pytest.fixture
def lens():
    return folder("profiles") / "caving-lens.yaml"


@pytest.fixture
def ags(tmp_path):
    path = tmp_path / "log.ags"
    path.write_text(AGS, encoding="utf-8")
    return path


def test_plan_prints_the_page_and_exits_with_0(lens):
    done = run_as_process("plan", lens)
    assert done.returncode == 0
    assert done.stderr == ""
    for word in ("DECISION", "STRIP", "STAGES", HANGS_ON.upper(), "DANGEROUS HERE", "licensed engineer"):
        assert word in done.stdout
    assert "\x1b[" not in done.stdout, "no colour into a pipe"
    assert max(map(len, done.stdout.splitlines())) <= 80


def test_json_alone_on_standard_output(lens):
    done = run("plan", lens, "--json", "-")
    assert done.returncode == 0
    assert json.loads(done.stdout)["format"] == "methodpick-plan/2"


def test_json_to_a_file_and_the_same_bytes_twice(lens, tmp_path):
    for name in ("a.json", "b.json"):
        assert run("plan", lens, "--json", tmp_path / name).returncode == 0
    assert (tmp_path / "a.json").read_bytes() == (tmp_path / "b.json").read_bytes()


def test_the_plan_does_not_hang_on_the_hash_seed(lens):
    """This process has a hash seed of its own."""
    planned = run_as_process("plan", lens, "--json", "-", env={"PYTHONHASHSEED": "1", "PATH": ""}).stdout
    assert planned
    assert planned == run("plan", lens, "--json", "-").stdout


def test_strict_exits_with_1_where_a_danger_stands(lens):
    assert run("plan", lens, "--strict").returncode == 1


CALM = """methodpick: 1
site: {units: si, allowed: [dry, slurry, temporary_casing], contamination: none, neighbours: [], surcharge: 20 kPa}
borings:
  - id: B-1
    depth: 25
    technique: solid_auger
    water: [{reading: piezometer, depth: 22, response_zone: [20, 24]}]
    layers:
      - {top: 0, base: 25, description: "very stiff grey clay", symbol: CL, su: {low: 140, likely: 150, high: 160},
       unit_weight: 20, pi: 20, fines: 95 %, absent: [fissured, slickensided, cobbles, boulders, obstructions, gas, swelling, collapsible]}
    spt: [{depth: 3, n: 22}, {depth: 8, n: 24}, {depth: 15, n: 26}]
shafts: [{id: S1, boring: B-1, diameter: 900, tip: 9}]
"""
"""Very stiff clay far above the water, all of it read: dry, and nothing is dangerous here but what is at every shaft."""


def test_strict_passes_what_is_dangerous_at_every_shaft_alone(tmp_path):
    site = tmp_path / "calm.yaml"
    site.write_text(CALM, encoding="utf-8")
    planned = run("plan", site, "--strict")
    assert planned.returncode == 0
    assert "Nobody enters the hole" in planned.stdout
    site.write_text(CALM.replace("tip: 9", "tip: 30"), encoding="utf-8")
    assert run("plan", site, "--strict", "--quiet").returncode == 1, "5 m below the log"


def test_strict_takeoff_asks_for_every_rate(tmp_path):
    site = tmp_path / "calm.yaml"
    site.write_text(CALM, encoding="utf-8")
    assert [run("takeoff", site, *words).returncode for words in ((), ("--strict",))] == [0, 1]
    rates = (folder("profiles") / "viaduct.yaml").read_text(encoding="utf-8").split("\nrates:")[1]
    site.write_text(f"{CALM}rates:{rates}", encoding="utf-8")
    assert run("takeoff", site, "--strict").returncode == 0


def test_units_width_and_shaft(lens):
    done = run("plan", lens, "--units", "si", "--width", "100", "--shaft", "P4")
    assert done.returncode == 0
    assert "18.29 m" in done.stdout
    assert re.search(r"\d\.\d ft", done.stdout) is None, "every computed number is in SI"
    wrong = run("plan", lens, "--shaft", "P44")
    assert wrong.returncode == 2
    assert "did you mean 'P4'?" in wrong.stderr


def test_an_ags_log_is_planned_without_any_yaml(ags):
    done = run("plan", ags, "--boring", "BH1", "--diameter", "1200mm", "--tip", "15m")
    assert done.returncode == 0, done.stderr
    assert "1200 mm diameter, cut-off 0.00 m, tip 15.00 m" in done.stdout


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "the borings are: BH1, BH2"),
        (("--boring", "BH3", "--diameter", "1.2m", "--tip", "10m"), "there is no boring 'BH3'"),
        (("--boring", "BH1", "--diameter", "1.2m"), "needs --tip too"),
        (("--diameter", "1.2m", "--tip", "10m"), "several borings"),
        (("--boring", "BH1", "--diameter", "wide", "--tip", "10m"), "'wide' is not a number"),
        (("--boring", "BH1", "--diameter", "12m", "--tip", "10m"), "--diameter"),
        (("--boring", "BH1", "--diameter", "1.2m", "--tip", "10m", "--cutoff", "12m"), "not below the cut-off"),
        (("--boring", "BH1", "--diameter", "1.2 kPa", "--tip", "10m"), "is not a unit"),
    ],
)
def test_what_is_missing_for_a_shaft_is_said(ags, words, said):
    done = run("plan", ags, *words)
    assert done.returncode == 2
    assert said in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("command", ["plan", "takeoff", "sheets", "compare"])
def test_a_shaft_at_a_boring_goes_through_every_command_that_reads_a_log(ags, command):
    done = run(command, ags, "--boring", "BH1", "--diameter", "1200mm", "--tip", "15m")
    assert done.returncode == 0, done.stderr
    assert "borings but no shaft" in run(command, ags).stderr


def test_a_folder_named_by_a_dot_has_its_name(tmp_path, monkeypatch):
    (tmp_path / "weir").mkdir()
    (tmp_path / "weir" / "layers.csv").write_text("boring,top (ft),base (ft),symbol\nB-1,0,60,CH\n", encoding="utf-8")
    (tmp_path / "weir" / "shafts.csv").write_text("shaft,diameter (in),tip (ft)\nP1,48,40\nP2,60,40\n", encoding="utf-8")
    monkeypatch.chdir(tmp_path / "weir")
    assert run("plan", ".").stdout.startswith("weir: 2 shafts")
    assert run("check", ".").stdout.startswith("weir: 1 boring, 2 shafts.")


def test_the_list_of_commands_cuts_no_sentence_short():
    listed = run("--help").stdout.partition("Commands:")[2]
    assert "..." not in listed
    for command in ("plan", "convert", "formulas"):
        assert f"\n  {command} " in listed


@pytest.mark.parametrize(
    "text",
    [
        "",
        "methodpick: 1\n",
        "methodpick: 2\n",
        "- a list\n",
        "methodpick: 1\nborings: 7\n",
        "\x00",
        "a: &x [*x]\n",
        "methodpick: 1\nborings: [{id: B, layers: [{top: 0, base: 5, symbol: XX}]}]\nshafts: [{id: S, diameter: 48, tip: 30}]\n",
        "methodpick: 1\nborings: [{id: B, depth: .nan}]\n",
        "methodpick: 1\nborings: [{id: B, depth: 1e308}]\n",
        "methodpick: 1\nborings: [{id: B, spt: [{depth: 3, n: -4}]}]\n",
        "methodpick: 1\nborings: [{id: B}]\nshafts: [{id: S, diameter: 48, tip: 3, cutoff: 9}]\n",
        "methodpick: 1\nborings: [{id: B}]\nassume: [{fact: sun, set: yes}]\nshafts: [{id: S, diameter: 48, tip: 30}]\n",
    ],
)
def test_bad_input_is_exit_2_and_never_a_traceback(tmp_path, text):
    path = tmp_path / "bad.yaml"
    path.write_text(text, encoding="utf-8")
    done = run("plan", path)
    assert done.returncode == 2
    assert done.stderr.strip()
    assert "Traceback" not in done.stderr
    assert done.stdout == ""


def test_other_unreadable_files(tmp_path):
    (tmp_path / "latin.yaml").write_bytes(b"methodpick: 1\nname: \xff\xfe\n")
    for path in (tmp_path, tmp_path / "none.yaml", tmp_path / "latin.yaml"):
        done = run("plan", path)
        assert done.returncode == 2
        assert "Traceback" not in done.stderr


def test_a_boring_without_layers_still_gives_a_plan_of_nothing(tmp_path):
    path = tmp_path / "empty.yaml"
    path.write_text("methodpick: 1\nborings: [{id: B}]\nshafts: [{id: S, diameter: 48, tip: 30}]\n", encoding="utf-8")
    done = run("plan", path)
    assert done.returncode == 0, done.stderr
    assert "undecided" in done.stdout
    assert run("plan", path, "--strict").returncode == 1


def test_check_convert_new_schema(ags, tmp_path, lens):
    assert "1 boring, 1 shaft" in run("check", lens).stdout
    assert run("check", ags).returncode == 0
    out = tmp_path / "log.yaml"
    assert run("convert", ags, "-o", out).returncode == 0
    assert yaml.safe_load(out.read_text())["methodpick"] == 1
    assert run("convert", ags, "-o", out).returncode == 2, "an existing file is not overwritten"
    assert run("convert", ags, "-o", out, "--force").returncode == 0
    assert run("convert", ags, "-o", "-").stdout == run("convert", ags).stdout == out.read_text(encoding="utf-8")
    started = tmp_path / "new.yaml"
    assert run("new", started).returncode == 0
    assert run("plan", started).returncode == 0
    assert run("new", started).returncode == 2
    assert run("new", tmp_path / "no" / "folder.yaml").returncode == 2
    assert json.loads(run("schema").stdout)["$schema"].startswith("http")


def test_rules_list_show_check(tmp_path):
    listed = run("rules", "list", "--topic", "method")
    assert "granular-below-water-flows" in listed.stdout
    shown = run("rules", "show", "base-lifts-by-water-below")
    assert "uplift_factor_least = 1.1" in shown.stdout
    assert "case fires" in shown.stdout
    limit = " ".join(run("rules", "show", "uplift_factor_least").stdout.split())
    assert limit.startswith("uplift_factor_least = 1.1, ")
    assert "safe side: higher" in limit
    assert "base-lifts-by-water-below" in limit.partition("rules: ")[2]
    assert "fluid_head_m" in run("rules", "show", "fluid-head-too-low").stdout
    assert "fluid-head-too-low" in run("rules", "show", "fluid_head_m").stdout.partition("rules: ")[2]
    missing = run("rules", "show", "base-lifts-by-water")
    assert missing.returncode == 2
    assert "did you mean" in missing.stderr
    assert run("rules", "check", "--quiet").returncode == 0
    assert run("rules", "check", tmp_path).returncode == 3
    assert run("plan", folder("profiles") / "caving-lens.yaml", "--rules", tmp_path).returncode == 3
    assert run("plan", folder("profiles") / "caving-lens.yaml", "--agency", "atlantis").returncode == 3


def test_an_overlay_of_the_user_stands_on_the_report(tmp_path, lens):
    own = tmp_path / "county.yaml"
    own.write_text("overlay: county\nset:\n  dry_rise_m_h: {value: 0.1, where: sec. 7}\n", encoding="utf-8")
    done = run("plan", lens, "--overlay", own)
    assert done.returncode == 0, done.stderr
    assert "with county" in done.stdout.replace("\n", " ")


def test_version_help_and_completion():
    assert run_as_process("--version").stdout.startswith("methodpick ")
    assert "plan" in run("--help").stdout
    shown = run_as_process("--show-completion", "bash", env={"PATH": "", "_TYPER_COMPLETE_TEST_DISABLE_SHELL_DETECTION": "1"})
    assert "complete" in shown.stdout.lower()


def test_every_command_has_help():
    for name, (_, text) in COMMANDS.items():
        assert command_named(name).help == text, name


def test_a_call_puts_together_the_options_of_its_command_alone():
    code = (
        "import sys; sys.argv = ['methodpick', 'plan', '--help']; from methodpick.cli import app\n"
        "try: app.main()\nexcept SystemExit: print(app.command_named.cache_info().misses, 'methodpick.cli.report' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60)
    assert done.stdout.splitlines()[-1] == "1 False"


def test_no_color_and_assumptions_off(lens):
    done = run("plan", lens, "--no-assumptions", "--for", "engineer")
    assert done.returncode == 0
    assert "Nothing is assumed" in done.stdout or "HOLDS ONLY IF" in done.stdout


def test_rules_diff_shows_what_an_overlay_changes(tmp_path):
    shown = run("rules", "diff", "txdot")
    assert shown.returncode == 0
    assert "mineral_sand_max_percent: 4 % -> 6 %" in shown.stdout
    assert "added    txdot-no-polymer" in shown.stdout
    own = tmp_path / "ours.yaml"
    own.write_text(
        "overlay: ours\nset:\n  dry_rise_m_h: {value: 0.1, reason: a drier hole, source: own, where: yard rule}\n"
        "disable:\n  - {rule: granular-below-water-flows, reason: a trial shaft stood}\n",
        encoding="utf-8",
    )
    mine = run("rules", "diff", own)
    assert "dry_rise_m_h: 0.3048 m/h -> 0.1 m/h" in mine.stdout
    assert "disabled granular-below-water-flows" in mine.stdout
    looser = "looser ours: rule 'granular-below-water-flows' (must) disabled: it excluded dry; reason: a trial shaft stood"
    assert looser in " ".join(mine.stdout.split()), "folded at the width of a page"
    assert run("rules", "diff", "fhwa").stdout == "nothing changes\n"
    assert run("rules", "diff", "nowhere").returncode == 3


def test_formulas_are_listed_and_printed_whole():
    listed = run("formulas")
    assert listed.returncode == 0
    assert "cylinder_pressure" in listed.stdout
    assert "weak" in listed.stdout
    shown = run("formulas", "mass_per_metre").stdout
    for part in ("pi (D - t) t rho", "geometry with steel of 7850 kg/m3", "0.13 to 4 m", "outside_diameter_m = 0.6096 m", "186.94 kg/m"):
        assert part in shown
    assert max(map(len, run("formulas", "cylinder_pressure").stdout.splitlines())) <= 80


def test_an_unknown_formula_is_answered_with_a_hint():
    failed = run("formulas", "hydrostatics")
    assert failed.returncode == 2
    assert "did you mean 'hydrostatic'?" in failed.stderr
