import shutil
from pathlib import Path

import pytest

from methodpick.engine.check import check_rulebook
from methodpick.engine.load import load_rulebook, overlay_path
from methodpick.errors import RuleError
from methodpick.resources import folder


@pytest.fixture
def rules(tmp_path):
    return Path(shutil.copytree(folder("rules"), tmp_path / "rules"))


def overlay(tmp_path, text):
    path = tmp_path / "own.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def test_what_the_yaml_refuses_stands_among_the_other_problems_of_its_file(tmp_path):
    """In the order of lines, and no second complaint about the value that could not be read."""
    path = overlay(
        tmp_path,
        """\
overlay: own
set:
  no_such_limit: 3
  tremie_embedment_m: {value: .nan, reason: ours}
  bell_ratio_max: {value: 1e999, reason: ours}
  bell_ratio_max: 2
disabel: []
""",
    )
    with pytest.raises(RuleError) as caught:
        load_rulebook(folder("rules"), [path])
    assert [(problem.place.line, problem.message) for problem in caught.value.problems] == [
        (3, "'no_such_limit' is not one of the words allowed here"),
        (4, "'.nan' is not a value that can be used"),
        (5, "1e999 is too large a number"),
        (6, "the key 'bell_ratio_max' stands twice in this map"),
        (7, "the key 'disabel' is not known here"),
    ]


def broken(rules, where, old, new):
    path = rules / where
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def test_the_shipped_rulebook_has_no_errors_and_sixty_rules_or_more():
    assert [finding.render() for finding in check_rulebook(folder("rules")) if finding.severity == "error"] == []
    assert len(load_rulebook(folder("rules")).rules) >= 60


def test_the_digest_is_of_the_meaning_and_stable(rules):
    first = load_rulebook(folder("rules")).digest
    assert load_rulebook(rules).digest == first
    broken(rules, "limits.yaml", "uplift_factor_least: {value: 1.1", "uplift_factor_least: {value: 1.2")
    assert load_rulebook(rules).digest != first


def test_all_problems_of_all_files_come_at_once_with_places(rules):
    broken(rules, "method/dry.yaml", "soil == clay", "soil == caly")
    broken(rules, "method/fluid.yaml", "level: may", "level: mya")
    with pytest.raises(RuleError) as found:
        load_rulebook(rules)
    text = found.value.render()
    assert "method/dry.yaml:" in text
    assert "'caly' is not a value of 'soil'" in text
    assert "did you mean 'clay'?" in text
    assert "did you mean 'may'?" in text
    assert "^^^^" in text


@pytest.mark.parametrize(
    ("where", "old", "new", "said"),
    [
        ("method/dry.yaml", "    suits: [dry]\n", "", "exactly one effect, this one has 0"),
        ("method/dry.yaml", "key: ufc-3-220-20", "key: ufc", "'ufc' is not one of the words"),
        ("method/dry.yaml", "{soil}", "{sole}", "'{sole}' is no fact and no limit"),
        ("method/dry.yaml", "id: dry-suits-rock", "id: dry-suits-clay", "stands twice"),
        ("method/dry.yaml", "hazard: caving", "hazards: caving", "the key 'hazards' is not known here"),
        ("limits.yaml", "confidence: own", "confidence: mine", "'mine' is not one of the words"),
        ("facts.yaml", "domain: [0, 200]", "domain: [200, 0]", "the domain is empty"),
        ("tables/seals.yaml", "policy: unique", "policies: unique", "'policies' is not known"),
        ("assumptions.yaml", "fact: cemented", "fact: cement", "'cement' is not one of the words"),
    ],
)
def test_a_broken_rulebook_says_what_and_where(rules, where, old, new, said):
    broken(rules, where, old, new)
    with pytest.raises(RuleError, match=r"(?s).*") as found:
        load_rulebook(rules)
    assert said in found.value.render()
    assert where.split("/")[-1] in found.value.render()


def test_a_failing_case_is_an_error_with_its_witness(rules):
    broken(rules, "method/dry.yaml", "{given: {soil: clay}, expect: fires}", "{given: {soil: clay}, expect: silent}")
    found = [finding for finding in check_rulebook(rules) if finding.code == "E201"]
    assert len(found) == 1
    assert "dry-suits-clay" in found[0].message
    assert "clay" in found[0].witness


def test_a_gap_in_the_rulebook_is_found(rules):
    text = (rules / "method/dry.yaml").read_text(encoding="utf-8")
    start, end = text.index("  - id: organic-soil-not-dry"), text.index("  - id: void-holds-no-open-hole")
    (rules / "method/dry.yaml").write_text(text[:start] + text[end:], encoding="utf-8")
    codes = [finding.witness for finding in check_rulebook(rules) if finding.code == "E301"]
    assert codes == []  # cemented organic soil still has a rule that speaks
    broken(rules, "method/dry.yaml", "cobbles, organic}\n    suits: [dry, water]", "cobbles}\n    suits: [dry, water]")
    assert "soil: organic, water_position: above" in [finding.witness for finding in check_rulebook(rules) if finding.code == "E301"]


def test_an_overlay_changes_a_limit_and_says_so(tmp_path):
    path = overlay(tmp_path, "overlay: county\nset:\n  dry_rise_m_h: {value: 0.0762, where: sec. 7, reason: stricter}\n")
    book = load_rulebook(folder("rules"), [path])
    assert book.limits["dry_rise_m_h"].value == 0.0762
    assert book.limits["dry_rise_m_h"].origin == "county"
    assert book.overlays == ("county",)


def test_loosening_an_exclude_needs_a_reason_and_is_kept(tmp_path):
    with pytest.raises(RuleError, match="loosens"):
        load_rulebook(folder("rules"), [overlay(tmp_path, "overlay: mild\nset: {uplift_factor_least: 1.0}\n")])
    book = load_rulebook(
        folder("rules"), [overlay(tmp_path, "overlay: mild\nset: {uplift_factor_least: {value: 1.0, reason: wells lower the head}}\n")]
    )
    assert "uplift factor least: ⟦1.1|1⟧ becomes ⟦1|1⟧; it loosens base-lifts-by-water-below" in book.loosened[0].what
    tight = load_rulebook(folder("rules"), [overlay(tmp_path, "overlay: hard\nset: {uplift_factor_least: 1.3}\n")])
    assert tight.loosened == ()


def test_disabling_needs_a_reason_and_an_existing_rule(tmp_path):
    with pytest.raises(RuleError, match="reason"):
        load_rulebook(folder("rules"), [overlay(tmp_path, "overlay: x\ndisable: [{rule: boring-caved}]\n")])
    with pytest.raises(RuleError, match="boring-cavd"):
        load_rulebook(folder("rules"), [overlay(tmp_path, "overlay: x\ndisable: [{rule: boring-cavd, reason: y}]\n")])
    book = load_rulebook(folder("rules"), [overlay(tmp_path, "overlay: x\ndisable: [{rule: boring-caved, reason: y}]\n")])
    assert "boring-caved" not in book.by_id
    assert [rule.id for rule in book.disabled] == ["boring-caved"]


def test_later_overlays_go_before_earlier_ones(tmp_path):
    first = overlay(tmp_path, "overlay: one\nset: {dry_rise_m_h: 0.1}\n")
    second = tmp_path / "two.yaml"
    second.write_text("overlay: two\nset: {dry_rise_m_h: {value: 0.2, reason: pumps}}\n", encoding="utf-8")
    assert load_rulebook(folder("rules"), [first, second]).limits["dry_rise_m_h"].value == 0.2
    assert load_rulebook(folder("rules"), [second, first]).limits["dry_rise_m_h"].value == 0.1


def test_an_unknown_agency_names_the_known_ones():
    assert overlay_path(folder("rules"), "fhwa") is None
    with pytest.raises(RuleError, match="no overlay for the agency"):
        overlay_path(folder("rules"), "atlantis")
    with pytest.raises(RuleError, match="did you mean 'fdot'"):
        overlay_path(folder("rules"), "fdott")
    with pytest.raises(RuleError, match="name it with --overlay"):
        overlay_path(folder("rules"), "zzzzzz")


@pytest.mark.parametrize(
    "text",
    [
        "a: &a [x]\nb: [*a, *a]\n",
        "[" * 3000,
        'topic: x\ntitle: y\nrules:\n  - {id: z, when: "' + "(" * 2000 + '"}\n',
        "topic: " + "x" * 3_000_000,
    ],
)
def test_a_malicious_rule_file_is_refused(rules, text):
    (rules / "method" / "bad.yaml").write_text(text, encoding="utf-8")
    with pytest.raises(RuleError):
        load_rulebook(rules)


def test_problems_of_facts_limits_and_sources_come_together(rules):
    broken(rules, "facts.yaml", "domain: [0, 200]", "domain: [200, 0]")
    broken(rules, "limits.yaml", "confidence: own", "confidence: mine")
    broken(rules, "sources.yaml", "author:", "auhtor:")
    with pytest.raises(RuleError) as found:
        load_rulebook(rules)
    assert {problem.place.file.split("/")[-1] for problem in found.value.problems} == {"facts.yaml", "limits.yaml", "sources.yaml"}


@pytest.mark.parametrize(
    ("where", "old", "new", "said"),
    [
        ("limits.yaml", "  dry_rise_m_h:", "  su_kpa:", "'su_kpa' is the name of a fact and of a limit"),
        ("tables/seals.yaml", "table: seals", "table: friction", "the table 'friction' stands twice"),
        ("tables/seals.yaml", "source: own", "source: owm", "the source 'owm' is not in sources.yaml"),
        ("assumptions.yaml", "source: practice", "source: practise", "did you mean 'practice'?"),
    ],
)
def test_names_and_sources_are_held_together_over_files(rules, where, old, new, said):
    broken(rules, where, old, new)
    with pytest.raises(RuleError) as found:
        load_rulebook(rules)
    assert said in found.value.render()


def test_a_missing_file_or_folder_is_said(rules):
    with pytest.raises(RuleError, match="no such rulebook folder"):
        load_rulebook(rules / "nowhere")
    (rules / "limits.yaml").unlink()
    with pytest.raises(RuleError, match="no such file"):
        load_rulebook(rules)


@pytest.mark.parametrize(
    "condition",
    [
        "*".join(["data_below_tip"] * 24) + " > 0",
        "soil in {" + ", ".join(["clay"] * 60) + "}",
        "not " * 90 + "fissured",
        "abs(" * 70 + "data_below_tip" + ")" * 70 + " > 0",
    ],
)
def test_a_costly_looking_condition_loads_and_compiles(rules, condition):
    assert len(condition) <= 400
    rule = (
        'topic: x\ntitle: y\nrules:\n  - {id: z, title: t, status: test, level: may, hazard: cost, when: "'
        + condition
        + '", prefer: {states: [dry], points: 1}, because: b, source: [{key: own, where: w}], cases: []}\n'
    )
    (rules / "method" / "more.yaml").write_text(rule, encoding="utf-8")
    book = load_rulebook(rules)
    scope = book.scopes[book.by_id["z"].scope]
    assert scope.judge({}).of("z")
