from io import StringIO

from django.core.management import call_command


def test_the_rates_are_printed_with_the_rule_and_repeat_with_the_seed():
    printed = []
    for _ in range(2):
        out = StringIO()
        call_command("solvent_check_rates", trials=3, seed=5, stdout=out)
        printed.append(out.getvalue())
    assert printed[0] == printed[1]
    assert printed[0].startswith("The mobile phase of a batch is suspect when")
    assert "seed 5" in printed[0]
    assert printed[0].count("| none |") == 4
