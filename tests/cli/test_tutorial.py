"""The README's way from two tables to a priced bid, as it is written there."""

import csv
import json
import re
from pathlib import Path

import pytest
from command_line import run

README = Path(__file__).parents[2] / "README.md"
pytestmark = pytest.mark.skipif(not README.exists(), reason="only a checkout has a README")


def section():
    return README.read_text(encoding="utf-8").split("## From two tables to a priced bid")[1].split("\n## ")[0]


@pytest.fixture(scope="module")
def job(tmp_path_factory):
    """The folder in which the tables of the README stand."""
    home = tmp_path_factory.mktemp("tutorial")
    (home / "job").mkdir()
    tables = re.findall(r"`(job/\w+\.csv)`[^`]*:\n\n```csv\n(.*?)```|`(job/\w+\.csv)`[^`]*?\n\n```csv\n(.*?)```", section(), re.DOTALL)
    for first, text, second, other in tables:
        (home / (first or second)).write_text(text or other, encoding="utf-8")
    assert sorted(path.name for path in (home / "job").iterdir()) == ["layers.csv", "rates.csv", "shafts.csv"]
    return home


def test_five_commands_lead_to_a_complete_priced_bid(job):
    """Overhead 12 % and margin 8 % of both, by the README's table: the sum is 1.12 x 1.08 of the cost that the takeoff adds up."""
    commands = re.search(r"```sh\n(.*?)```", section(), re.DOTALL)[1].splitlines()
    assert len(commands) == 5
    said = {}
    for command in commands:
        program, *words = command.split()
        done = run(*words, cwd=job)
        assert program == "methodpick"
        assert done.returncode == 0, (command, done.stderr)
        said[words[0]] = done.stdout
    assert "the log says nothing about water" in said["check"]
    assert "ASK THE OWNER" in said["plan"].upper()
    assert "SIDE BY SIDE" in said["compare"]
    assert "incomplete" not in said["takeoff"]
    rows = list(csv.DictReader((job / "bid" / "bid_items.csv").read_text(encoding="utf-8").splitlines()))
    total = next(row for row in rows if row["item"] == "sum")
    cost = json.loads(run("takeoff", "job", "--json", "-", cwd=job).stdout)["cost"]
    assert cost["unpriced"] == []
    assert float(total["likely amount, crowns"]) == pytest.approx(cost["total"]["likely"] * 1.12 * 1.08, abs=1)
    shaft = next(row for row in rows if row["item"].startswith("drilled shaft"))
    assert (shaft["unit"], float(shaft["quantity"])) == ("ft", pytest.approx(4 * 59 + 6 * 63, abs=0.05))
    assert (job / "bid" / "workbook.xlsx").exists()
