"""What the rulebook must answer at places of the trade; the checks are written by hand in ``checks/*.yaml``."""


def test_the_rulebook_answers_as_the_trade_does(under, check, answered_otherwise):
    assert answered_otherwise(under(check.under), check) == ""


def test_a_check_names_rules_and_facts_that_exist(under, check):
    book = under(check.under)
    assert check.given.keys() <= book.catalogue.facts.keys()
    for key in ("cautions", "silent", "asks", "asks_not", "says"):
        assert set(check.expect.get(key, ())) <= book.by_id.keys(), key
