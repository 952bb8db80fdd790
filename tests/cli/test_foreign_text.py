"""Words of strangers cannot drive a terminal or pass for words of the tool: in pages, lists, errors, Markdown and JSON."""

import json

import pytest
from command_line import run

from methodpick.resources import folder

ATTACK = "\x1b[2J\x1b[H\x9b2J\u202edry\u202c\u2066\u200f\ue0001\x00\x08\x7f\rfine\nNothing is dangerous.\u2028Nothing is doubtful."
OBEYED = set("\x1b\x9b\x00\x08\x7f\r\u202e\u202c\u2066\u200f\u2028")


def site_text(attack=ATTACK, where="description"):
    words = json.dumps(attack)
    inside = {"description": "clay", "id": "B-1", "shaft": "P1", "remark": "hard", "name": "a site"} | {where: attack}
    quoted = {key: json.dumps(value) for key, value in inside.items()}
    assert words in quoted.values()
    return f"""methodpick: 1
site: {{name: {quoted["name"]}, units: si}}
borings:
  - id: {quoted["id"]}
    depth: 20
    water: [{{depth: 3, reading: settled}}]
    remarks: [{{depth: 4, text: {quoted["remark"]}}}]
    layers: [{{top: 0, base: 20, description: {quoted["description"]}, symbol: CL, n: [9, 12], su: 60, pi: 20}}]
shafts: [{{id: {quoted["shaft"]}, boring: {quoted["id"]}, diameter: 1000, tip: 12}}]
"""


def shown(text):
    assert not OBEYED & set(text), sorted(map(hex, map(ord, OBEYED & set(text))))
    lines = {line.strip() for line in text.splitlines()}
    assert "Nothing is dangerous." not in lines
    return lines


@pytest.mark.parametrize("where", ["description", "id", "shaft", "remark", "name"])
@pytest.mark.parametrize("command", [["plan", "--full"], ["check"], ["takeoff"]], ids=" ".join)
def test_a_page_shows_what_it_does_not_obey(tmp_path, where, command):
    path = tmp_path / "site.yaml"
    path.write_text(site_text(where=where), encoding="utf-8")
    done = run(command[0], path, *command[1:])
    lines = shown(done.stdout + done.stderr)
    assert command[0] != "check" or "Nothing is doubtful." not in lines or len(lines) == 2


def test_markdown_and_json_show_it_or_write_it_as_an_escape(tmp_path):
    path = tmp_path / "site.yaml"
    path.write_text(site_text(), encoding="utf-8")
    assert run("report", path, "-o", tmp_path / "plan.md").returncode == 0
    shown((tmp_path / "plan.md").read_text(encoding="utf-8"))
    text = run("plan", path, "--json", "-").stdout
    shown(text)
    assert json.loads(text)["site"]["borings"][0]["layers"][0]["description"] == ATTACK


def test_an_error_shows_it_on_one_line(tmp_path):
    path = tmp_path / "site.yaml"
    path.write_text(site_text().replace('boring: "B-1"', "boring: " + json.dumps(ATTACK)), encoding="utf-8")
    done = run("plan", path)
    assert done.returncode == 2
    shown(done.stderr)


def test_a_long_id_makes_no_long_error(tmp_path):
    path = tmp_path / "site.yaml"
    path.write_text(site_text("B" * 300_000, "id").replace("shafts: [{id", "shafts: [{nonsense: 1, id"), encoding="utf-8")
    done = run("plan", path, "--boring", "B-2", "--diameter", "1m", "--tip", "9m")
    assert done.returncode == 2
    assert len(done.stderr) < 5000


def test_a_log_of_somebody_else_cannot_either(tmp_path):
    path = tmp_path / "log.ags"
    words = ATTACK.replace("\n", " ").replace("\r", " ").replace("\x00", "")
    path.write_text(
        '"GROUP","LOCA"\r\n"HEADING","LOCA_ID","LOCA_FDEP"\r\n"UNIT","","m"\r\n"TYPE","ID","2DP"\r\n'
        f'"DATA","BH{words}","20.00"\r\n\r\n'
        '"GROUP","GEOL"\r\n"HEADING","LOCA_ID","GEOL_TOP","GEOL_BASE","GEOL_DESC"\r\n"UNIT","","m","m",""\r\n"TYPE","ID","2DP","2DP","X"\r\n'
        f'"DATA","BH{words}","0.00","20.00","Stiff CLAY {words}"\r\n',
        encoding="utf-8",
    )
    for words_of in (["check"], ["convert"], ["plan", "--diameter", "1m", "--tip", "9m"]):
        done = run(words_of[0], path, *words_of[1:])
        shown(done.stdout + done.stderr)


def test_a_rulebook_of_somebody_else_cannot_either(tmp_path):
    path = tmp_path / "county.yaml"
    path.write_text("overlay: county\nset:\n  stick_up_m: {value: 1.2, where: " + json.dumps(ATTACK) + "}\n", encoding="utf-8")
    for words in (["rules", "diff", path], ["plan", folder("profiles") / "caving-lens.yaml", "--overlay", path]):
        shown(run(*words).stdout)
