"""``methodpick verify`` as a user meets it: what it prints, and its exit codes."""

import json

import pytest
from command_line import run

from methodpick.resources import folder

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
