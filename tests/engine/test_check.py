"""Each finding of the rulebook check, provoked on a small rulebook of its own and absent from a sound one."""

import pytest

from methodpick.engine.check import Finding, check_rulebook
from methodpick.errors import Place

FACTS = """facts:
  soil: {type: enum, values: [sand, clay], scope: slice, meaning: a soil}
  water_position: {type: enum, values: [above, below], scope: slice, meaning: above or below the water}
  su_kpa: {type: number, unit: kPa, domain: [0, 500], resolution: 5, scope: slice, meaning: strength}
"""
STATES = "dry, water, polymer, mineral, cased_dry, cased_balanced, cased_plug, leave_in, pull_out"
RULES = f"""topic: method
title: small
rules:
  - id: sand-suits
    title: t
    status: stable
    level: may
    hazard: caving
    when: soil == sand
    suits: [{STATES}]
    because: "Every state suits in {{soil}} as far as this test goes."
    source: [{{key: own, where: w}}]
    cases: [{{given: {{soil: sand}}, expect: fires}}, {{given: {{soil: clay}}, expect: silent}}, {{given: {{}}, expect: unknown}}]
  - id: clay-suits
    title: t
    status: stable
    level: may
    hazard: caving
    when: soil == clay and su_kpa >= su_least_kpa
    suits: [{STATES}]
    because: "Every state suits in {{soil}} as far as this test goes."
    source: [{{key: own, where: w}}]
    cases:
      - {{given: {{soil: clay, su_kpa: 25}}, expect: fires}}
      - {{given: {{soil: clay, su_kpa: 24}}, expect: silent}}
      - {{given: {{soil: clay}}, expect: unknown}}
  - id: water-excludes-dry
    title: t
    status: test
    level: must
    hazard: inflow
    when: soil == sand and water_position == below
    exclude: [dry]
    because: "Water runs in through {{soil}} and carries it along."
    source: [{{key: own, where: w}}]
    cases:
      - {{given: {{soil: sand, water_position: below}}, expect: fires}}
      - {{given: {{soil: clay}}, expect: silent}}
      - {{given: {{}}, expect: unknown}}
"""


@pytest.fixture
def small(tmp_path):
    place = tmp_path / "small"
    place.mkdir()
    (place / "facts.yaml").write_text(FACTS)
    (place / "limits.yaml").write_text("limits:\n  su_least_kpa: {value: 25, unit: kPa, safe: higher, source: own, confidence: own}\n")
    (place / "sources.yaml").write_text("sources:\n  own: {title: own}\n")
    (place / "assumptions.yaml").write_text("assumptions: []\n")
    (place / "rules.yaml").write_text(RULES)
    return place


def change(place, old, new, file="rules.yaml"):
    text = (place / file).read_text()
    assert old in text
    (place / file).write_text(text.replace(old, new, 1))


def codes(place, *args):
    return sorted(finding.code for finding in check_rulebook(place, *args))


def test_a_sound_rulebook_has_no_finding(small):
    assert check_rulebook(small, (), set()) == []


@pytest.mark.parametrize(
    ("old", "new", "code", "said"),
    [
        (
            "{given: {soil: sand}, expect: fires}",
            "{given: {soil: sand}, expect: silent}",
            "E201",
            "expects 'silent', the rule says 'fires'",
        ),
        ("{given: {soil: sand, water_position: below}, expect: fires}", "{given: {}, expect: unknown}", "E202", "no case that is fires"),
        ("{given: {soil: clay}, expect: unknown}", "{given: {soil: sand}, expect: silent}", "W203", "no case that is unknown"),
        ("Water runs in through {soil} and carries it along.", "Wet.", "W204", "too short to explain"),
        ("soil == sand and water_position == below", "su_kpa > su_least_kpa and su_kpa < su_least_kpa", "E205", "can never fire"),
        ("soil == sand and water_position == below", "su_kpa >= 0 * su_least_kpa", "W206", "always fires"),
        (
            "{given: {soil: clay, su_kpa: 24}, expect: silent}",
            "{given: {soil: sand}, expect: silent}",
            "W208",
            "both sides of 'su_kpa >= su_least_kpa'",
        ),
        ("when: soil == sand\n", "when: soil == sand and water_position == above\n", "E301", "suits sand below the water"),
        ("rules:", "rulse:", "E100", "did you mean 'rules'?"),
    ],
)
def test_each_defect_has_its_code_and_place(small, old, new, code, said):
    change(small, old, new)
    found = [finding for finding in check_rulebook(small) if finding.code == code]
    assert found
    assert any(said in finding.message for finding in found)
    assert all(finding.severity == ("error" if code[0] == "E" else "warning") for finding in found)
    assert code == "E301" or all(finding.place.file.endswith("rules.yaml") for finding in found)


def test_a_covered_rule_is_found_with_a_case(small):
    rule = (
        RULES[RULES.index("  - id: water-excludes-dry") :]
        .replace("water-excludes-dry", "again")
        .replace("water_position == below", "water_position == below and su_kpa < su_least_kpa")
    )
    (small / "rules.yaml").write_text(RULES + rule)
    found = [finding for finding in check_rulebook(small) if finding.code == "W207"]
    assert [finding.message for finding in found] == ["the rule 'again' adds nothing: 'water-excludes-dry' holds wherever it does"]
    assert found[0].witness.startswith("soil: sand, water_position: below, su_kpa: ")


def test_a_weaker_rule_never_covers_a_stronger_one(small):
    rule = RULES[RULES.index("  - id: water-excludes-dry") :].replace("water-excludes-dry", "again").replace("level: must", "level: should")
    (small / "rules.yaml").write_text(RULES + rule)
    assert [finding.message for finding in check_rulebook(small) if finding.code == "W207"] == [
        "the rule 'again' adds nothing: 'water-excludes-dry' holds wherever it does"
    ]


def test_what_nothing_reads_is_found_at_its_line(small):
    (small / "facts.yaml").write_text(FACTS + "  idle: {type: boolean, scope: site, meaning: m}\n")
    (small / "limits.yaml").write_text((small / "limits.yaml").read_text() + "  spare: {value: 1, unit: m, source: own, confidence: own}\n")
    (small / "sources.yaml").write_text("sources:\n  own: {title: own}\n  shelf: {title: shelf}\n  law: {title: law}\n")
    (small / "agencies").mkdir()
    (small / "agencies" / "county.yaml").write_text("overlay: county\nset: {su_least_kpa: {value: 30, source: law, where: s}}\n")
    found = {finding.code: finding for finding in check_rulebook(small, (), set().intersection)}
    assert {code: (one.message, one.place.line) for code, one in found.items()} == {
        "W401": ("the fact 'idle' is used by no rule and no table", 5),
        "W402": ("nothing reads the limit 'spare'", 3),
        "W403": ("the source 'shelf' is cited nowhere", 3),
    }
    assert codes(small, (), {"spare", "idle"}.intersection) == ["W403"]
    assert codes(small) == ["W401", "W403"], "without the list of the program limits are not judged"


def test_cases_of_the_base_are_run_with_the_limits_of_the_base(small, tmp_path):
    path = tmp_path / "strict.yaml"
    path.write_text("overlay: strict\nset: {su_least_kpa: 40}\n")
    assert codes(small, [path]) == []
    path.write_text("overlay: strict\nset: {su_least_kpa: 25}\n")
    assert codes(small, [path]) == ["W501"]
    change(small, "su_kpa: 24}, expect: silent", "su_kpa: 24}, expect: fires")
    assert "E201" in codes(small, [path])


def test_cases_of_an_overlay_are_run_with_its_limits(small, tmp_path):
    rule = (
        RULES[RULES.index("  - id: clay-suits") : RULES.index("  - id: water")]
        .replace("clay-suits", "clay-again")
        .replace("suits: [dry, water,", "exclude: [dry, water,")
    )
    path = tmp_path / "strict.yaml"
    path.write_text("overlay: strict\nset: {su_least_kpa: 40}\nadd:\n" + rule)
    assert [finding.message for finding in check_rulebook(small, [path]) if finding.severity == "error"] == [
        "the case of 'clay-again' expects 'fires', the rule says 'silent'"
    ]


def test_a_finding_is_written_with_line_caret_and_witness():
    finding = Finding("E201", "error", Place("r.yaml", 3, 5, "    - x", 3), "it fails", "soil: sand")
    assert finding.render().splitlines() == ["r.yaml:3:5: error E201: it fails", "        - x", "        ^^^", "    witness: soil: sand"]
