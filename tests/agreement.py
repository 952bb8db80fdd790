"""Measure the planner against published case histories and print the tables in Markdown.

``python tests/agreement.py [--set open|aside|all] [ID ...]``. Every site file of ``tests/published/cases`` is planned by the command line
and compared with ``built.yaml`` beside it:

* expected: share of the built length that worked whose support is that of the expected plan; one plan: of the best single plan, the
  cautious one and the named alternates included; any plan: of any of them at each depth. A starter casing stands for what is below it,
  on either side. Built refused: share whose support is ruled out, although it worked.
* a recorded failure is refused (verdicts at its depth by a rule of its own hazard), a danger (such a caution at its depth),
  discouraged, left open (doubtful by such a rule, a hazard listed with its treatment), a caution, avoided (not planned there, for other
  reasons) or missed;
* the same alarm on successes: with the same method in the same kind of ground.
"""

from __future__ import annotations

import argparse
from dataclasses import dataclass

from published.judging import NAMED, STRONG, Answer, Share, answers_for, same_alarm

SHARES = ("expected", "one", "any", "refused")
KINDS = {
    "paper": "told by a paper",
    "record": "told by records of the job",
    "sheet": "told by the firm's own sheet",
    "press": "told by the press",
    "forum": "told in a forum thread",
}
"""Who tells of a case, best first; the last three are no publications of an engineer."""


@dataclass
class Total:
    """The totals of a group of cases."""

    group: str
    cases: int
    share: Share
    grades: list[str]
    dry_where_dry_failed: int
    said: int
    asked: int

    def named(self) -> int:
        return sum(grade in NAMED for grade in self.grades)

    def strong(self) -> int:
        return sum(grade in STRONG for grade in self.grades)


def percents(share: Share) -> str:
    return " | ".join(f"{share.percent(name):.0f}" if share.built else "-" for name in SHARES)


def table(answers: list[Answer]) -> str:
    """Write the table of cases."""
    lines = [
        (
            "| case | told by | water known | built, m | expected % | one plan % | any plan % | built refused % "
            "| casing to, built / planned, m | recorded failures | cautions said | missing |"
        ),
        "|---|---|---|---:|---:|---:|---:|---:|---|---|---|---|",
    ]
    for one in answers:
        failures = "; ".join(
            f"{failure['method'] or 'any'} {failure['top']:.1f}-{failure['base']:.1f} m: {grade}" for failure, grade in one.failures
        )
        length = f"{one.share.built:.1f}" if one.record["measured"] else "not measured"
        asked = one.said + len(one.missing)
        lines.append(
            f"| {one.case} | {one.record['kind']} | {'yes' if one.record['water_known'] else 'no'} | {length} | {percents(one.share)} "
            f"| {one.casing} | {failures} | {f'{one.said} of {asked}' if asked else ''} | {'; '.join(one.missing)} |"
        )
    return "\n".join(lines)


def totals(answers: list[Answer]) -> list[Total]:
    """Give the totals: cases with a known water level, without, by who tells of them, and all."""
    found = []
    known = [one for one in answers if one.record["water_known"]]
    groups = [("water known", known), ("water not known", [one for one in answers if one not in known])]
    groups += [(words, [one for one in answers if one.record["kind"] == kind]) for kind, words in KINDS.items()]
    for name, chosen in (*groups, ("all", answers)):
        share = Share()
        for one in chosen:
            share.add(one.share)
        found.append(
            Total(
                name,
                len(chosen),
                share,
                [grade for one in chosen for _, grade in one.failures],
                sum(one.dry_where_dry_failed > 0.01 for one in chosen),
                sum(one.said for one in chosen),
                sum(one.said + len(one.missing) for one in chosen),
            )
        )
    return found


def totals_table(answers: list[Answer]) -> str:
    """Write the table of totals."""
    lines = [
        (
            "| group | cases | length, m | expected % (aim 80) | one plan % | any plan % (aim 95) | built refused % (aim 0) "
            "| failures named (aim all) | refused or danger | dry where dry failed (aim 0) | cautions said |"
        ),
        "|---|---:|---:|---:|---:|---:|---:|---:|---:|---:|---:|",
    ]
    for row in totals(answers):
        count = len(row.grades)
        lines.append(
            f"| {row.group} | {row.cases} | {row.share.built:.0f} | {percents(row.share)} | {row.named()} of {count} "
            f"| {row.strong()} of {count} | {row.dry_where_dry_failed} | {row.said} of {row.asked} |"
        )
    return "\n".join(lines)


def alarms_table(answers: list[Answer]) -> str:
    """Write which alarms that name a failure are raised on successes too; only refusals and dangers count against the aim."""
    lines = ["| case | failure | answer | the same on successes | which |", "|---|---|---|---:|---|"]
    raised = count = 0
    for answer in answers:
        for failure, grade in answer.failures:
            if grade not in NAMED or failure["method"] is None:
                continue
            cases, successes = same_alarm(answer, failure, grade, answers)
            if grade in STRONG:
                raised, count = raised + len(cases), count + successes
            lines.append(f"| {answer.case} | {failure['mechanism']} | {grade} | {len(cases)} of {successes} | {', '.join(cases)} |")
    return "\n".join((*lines, "", f"Refused or danger on {raised} of {count} such successes (aim at most 10 %)."))


def main() -> None:
    """Print the tables."""
    asked = argparse.ArgumentParser(description="Measure the planner against published case histories.")
    asked.add_argument("--set", choices=("open", "aside", "all"), default="open")
    asked.add_argument("only", nargs="*", metavar="ID")
    options = asked.parse_args()
    answers = answers_for(options.set, options.only)
    print(f"Cases: {options.set}\n\n{table(answers)}\n\n{totals_table(answers)}\n\n{alarms_table(answers)}")


if __name__ == "__main__":
    main()
