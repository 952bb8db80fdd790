"""``methodpick check`` and ``methodpick verify`` as a user meets them."""

import json

import pytest
from command_line import run

from methodpick.resources import folder

# ---- ``methodpick check``: what is doubtful, where, how much, and what to do


SITE = """\
methodpick: 1
site: {name: Cinder Wharf, units: si}
borings:
  - id: B-1
    position: {east: 0, north: 0}
    depth: 12
    water: [{depth: 14.5, reading: settled}]
    layers:
      - {top: 0, base: 5, description: "firm grey CLAY"}
      - {top: 4, base: 12, description: "dense brown SAND"}
  - id: B-2
    position: {east: 50, north: 0}
    depth: 30
    layers:
      - {top: 0, base: 30, description: "dense brown SAND"}
shafts:
  - {id: P1, boring: B-1, diameter: 900, tip: 15}
  - {id: P2, diameter: 900, tip: 15, position: {east: 300, north: 0}}
  - {id: P3, diameter: 900, tip: 15, position: {east: 1, north: 0}}
"""


@pytest.fixture
def site(tmp_path):
    path = tmp_path / "wharf.yaml"
    path.write_text(SITE, encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("line", "severity", "message"),
    [
        (7, "serious", "water is read below the end of the boring"),
        (10, "doubt", "overlap"),
        (17, "serious", "the tip is below boring B-1"),
        (18, "doubt", "boring B-2, which decides its ground, stands 250.00 m away"),
        (19, "serious", "the tip is below boring B-1"),
    ],
)
def test_each_doubt_has_its_line_severity_and_remedy(site, line, severity, message):
    lines = run("check", site).stdout.splitlines()
    at = [index for index, text in enumerate(lines) if f"wharf.yaml:{line}: {severity}: " in text and message in text]
    assert len(at) == 1, lines
    assert lines[at[0] + 1].startswith("    remedy: ")


def test_no_message_is_said_twice(site):
    lines = [text for text in run("check", site).stdout.splitlines() if ": serious: " in text or ": doubt: " in text]
    assert len(lines) == len(set(lines))


def test_what_the_reader_told_is_not_told_again_of_the_ground(tmp_path):
    log = tmp_path / "a.ags"
    log.write_text(
        '"GROUP","LOCA"\n"HEADING","LOCA_ID","LOCA_FDEP"\n"UNIT","","m"\n"DATA","BH1","9"\n'
        '"GROUP","GEOL"\n"HEADING","LOCA_ID","GEOL_TOP","GEOL_BASE","GEOL_DESC"\n"UNIT","","m","m",""\n"DATA","BH1","0","9","To chalk"\n',
        encoding="utf-8",
    )
    assert run("check", log).stdout.count("the words only say what lies below") == 1


def test_strict_fails_on_doubts_and_not_on_notes(site, tmp_path):
    assert run("check", site).returncode == 0
    assert run("check", site, "--strict").returncode == 1
    fine = tmp_path / "fine.yaml"
    wet = "    depth: 30\n    water: [{depth: 3, reading: settled}]\n"
    text = SITE[: SITE.index("shafts:")].replace("14.5", "3").replace("top: 4", "top: 5").replace("    depth: 30\n", wet)
    fine.write_text(text, encoding="utf-8")
    done = run("check", fine, "--strict")
    assert ": note: " in done.stdout
    assert done.returncode == 0


def test_rows_of_a_log_are_counted_and_like_doubts_joined(tmp_path):
    rows = "".join(f'"DATA","B-1","{depth}","","SAND"\n' for depth in range(9))
    text = '"GROUP","LOCA"\n"HEADING","LOCA_ID"\n"DATA","B-1"\n"GROUP","GEOL"\n"HEADING","LOCA_ID","GEOL_TOP","GEOL_BASE","GEOL_DESC"\n'
    path = tmp_path / "log.ags"
    path.write_text(text + rows + '"DATA","B-1","","9","CLAY"\n"GROUP","ERES"\n"HEADING","LOCA_ID"\n"DATA","B-1"\n', encoding="utf-8")
    out = run("check", path).stdout
    assert "GEOL: 10 rows read, 8 used, 2 set aside" in out
    assert "Not read (chemistry and gas), with their rows: ERES 1" in out
    assert out.count("the layer has no base") == 3
    assert "and 6 more like it, on the lines 9, 10, 11, 12, 13, 14" in out


# ---- ``methodpick verify`` as a user meets it: what it prints, and its exit codes


LENS = folder("profiles") / "caving-lens.yaml"


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    home = tmp_path_factory.mktemp("plans")
    assert run("plan", LENS, "--json", home / "plan.json").returncode == 0
    return home / "plan.json"


def _changed(written, change):
    tree = json.loads(written.read_text(encoding="utf-8"))
    change(tree)
    other = written.with_name("changed.json")
    other.write_text(json.dumps(tree), encoding="utf-8")
    return other


def test_a_plan_verifies(written):
    done = run("verify", written, "--site", LENS)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("plan.json: verified: 1 shaft, ")
    assert done.stdout.endswith("no contradiction\n")


def test_a_contradiction_is_printed_with_its_place(written):
    def heavier(tree):
        tree["shafts"][0]["casings"][1]["mass_kg"] += 500.0

    done = run("verify", _changed(written, heavier))
    assert done.returncode == 1
    line = next(line for line in done.stdout.splitlines() if "mass_kg" in line)
    assert line == "shaft P4, plan: temporary casing to 10.04 m, mass_kg is written as 5228.09; right is 4728.09"


def test_another_site_is_a_contradiction(written):
    done = run("verify", written, "--site", folder("profiles") / "stiff-clay.yaml")
    assert done.returncode == 1
    assert "site." in done.stdout


def test_what_cannot_be_read_ends_with_2(written):
    def older(tree):
        tree["format"] = "methodpick-plan/1"

    done = run("verify", _changed(written, older))
    assert done.returncode == 2
    assert "plan the site file again" in done.stderr
    assert run("verify", written.with_name("nowhere.json")).returncode == 2


def test_another_rulebook_ends_with_3(written, tmp_path):
    assert run("verify", written, "--rules", tmp_path).returncode == 3
    done = run("verify", written, "--agency", "wsdot")
    assert done.returncode == 3
    assert "give the same --rules, --overlay and --agency" in done.stderr
