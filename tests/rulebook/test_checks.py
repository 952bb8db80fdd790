"""What the rulebook must answer at places of the trade; the checks are written by hand in ``checks/*.yaml``."""


def test_the_rulebook_answers_as_the_trade_does(under, entry, answered_otherwise):
    found = {check.name: answered_otherwise(under(check.under), check) for check in entry}
    assert {name: answer for name, answer in found.items() if answer} == {}


def test_a_check_names_rules_and_facts_that_exist(under, entry):
    for check in entry:
        book = under(check.under)
        assert check.given.keys() <= book.catalogue.facts.keys(), check.name
        for key in ("cautions", "silent", "asks", "asks_not", "says"):
            assert set(check.expect.get(key, ())) <= book.by_id.keys(), (check.name, key)
