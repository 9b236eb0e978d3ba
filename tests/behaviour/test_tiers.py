"""Send, best bet, or do not send yet: how firmly, with what at hand, and what to find out first."""

import pytest

from pickrig.inputs import read_job
from pickrig.plans.pick.answer import pick
from tests.conftest import english

MUDDY = 'soil = "lean clay"\nwetness = "wet"\ntravel = { "site soil" = "100 %" }'


@pytest.fixture
def ask(tmp_path, fleet, rules):
    def make(ground, extra="", work="carry pallets", pieces=14, draws=2000):
        path = tmp_path / "job.toml"
        path.write_text(
            f'title = "invented"\n[task]\nkind = "{work}"\nload = "1,600 lb"\nsplit = true\npieces = {pieces}\n'
            f'[ground]\n{ground}\n[access]\ngate = "open"\n{extra}',
            encoding="utf-8",
        )
        return pick(read_job(path, rules), fleet, rules, draws=draws)

    return make


def test_firm_ground_is_a_plain_send(ask):
    answer = ask('soil = "lean clay"\nwetness = "dry"\ntravel = { "site soil" = "100 %" }')
    assert answer.tier.name == "send"
    assert english(answer.answer).startswith("Send ")


def test_a_bet_says_what_to_have_ready_and_when_to_stop(ask):
    answer = ask(MUDDY)
    told = english(answer.answer)
    assert answer.tier.name == "bet"
    assert told.startswith("Best bet: ")
    assert "Have" in told
    assert "Stop when" in told


def test_a_coin_toss_is_no_instruction(ask):
    answer = ask(MUDDY, '[costs]\nrecovery = "$5,000"')
    told = english(answer.answer)
    assert answer.tier.name == "wait"
    assert told.startswith("Do not send yet.")
    assert "Tonight: " in told
    assert answer.pick is not None  # the order is given all the same


@pytest.mark.parametrize("wetness", ["dry", "moist", "wet"])
def test_a_tier_under_the_limit_is_never_sent(ask, rules, wetness):
    answer = ask(f'soil = "silt"\nwetness = "{wetness}"\ntravel = {{ "site soil" = "100 %" }}')
    if answer.pick is not None:
        chance = answer.pick.finding("floats").chance
        limits = rules.limits
        if chance < limits.tiers.bet:
            assert answer.tier.name == "wait"
        elif chance < limits.floats.go:
            assert answer.tier.name == "bet"


def test_what_bogging_costs_against_waiting_moves_the_tier(ask):
    order = ("send", "bet", "wait")

    def tier(recovery, half_day):
        costs = f'[costs]\nrecovery = "${recovery}"\nlost_half_day = "${half_day}"'
        return order.index(ask(MUDDY, costs, pieces=4).tier.name)

    assert tier(100, 4000) <= tier(500, 600) <= tier(9000, 200)
    assert tier(9000, 200) == 2
    said = english(ask(MUDDY, '[costs]\nrecovery = "$500"', pieces=4).answer)
    assert "Bogging costs you $1,100, waiting $600" in said


def test_what_decides_and_nobody_said_stands_in_the_headline(ask):
    turf = 'soil = "loam"\nwetness = "dry"\ntravel = { turf = "100 %" }'
    assert "septic" in english(ask(turf).answer)
    assert "septic" not in english(ask(turf, '[hazards]\nseptic = "none"').answer)
    dry = 'soil = "lean clay"\nwetness = "dry"\ntravel = { "site soil" = "100 %" }'
    assert "buried lines" in english(ask(dry, work="cut grade").answer)
    assert "buried lines" not in english(ask(dry, '[hazards]\nservices = "marked"', work="cut grade").answer)


def test_nothing_fit_is_nothing_sent(ask):
    answer = ask('soil = "organic silt"\nwetness = "wet"\ntravel = { "site soil" = "100 %" }')
    assert answer.pick is None
    assert answer.tier.name == "wait"


def test_no_costs_at_all_are_no_costs(ask):
    answer = ask(MUDDY, '[costs]\nrecovery = "$0"\nlost_half_day = "$0"')
    assert answer.tier.name == "bet"
    assert "costs you" not in english(answer.answer)


def test_where_waiting_costs_as_much_as_bogging_it_goes(ask):
    told = english(ask(MUDDY, '[costs]\nrecovery = "$0"\nlost_half_day = "$700"').answer)
    assert told.startswith(("Send ", "Best bet: "))
    assert "as much as bogging" in told


def test_a_test_tonight_is_weighed_against_staying_home(ask):
    answer = ask(MUDDY, '[costs]\nrecovery = "$5,000"\nlost_half_day = "$300"')
    assert answer.tier.name == "wait"
    for one in answer.worth:
        assert "sending nothing" not in english((one.says,))  # nothing is sent as it stands


def test_a_help_is_enough_by_the_line_of_the_headline(ask):
    told = english(ask(MUDDY, '[costs]\nrecovery = "$9,000"\nlost_half_day = "$200"').answer)
    assert "Nothing laid down is enough" in told or "With " in told


def test_a_sign_to_stop_goes_with_the_doubt_it_is_for(ask):
    gate = ask('soil = "silty sand"\nwetness = "moist"\ntravel = { "site soil" = "100 %" }')
    assert "Stop" not in english(gate.answer)


def test_a_lawn_that_will_be_ruined_is_in_the_headline(ask):
    lawn = 'soil = "loam"\nwetness = "moist"\ntravel = { turf = "100 %" }'
    assert "It will rut the lawn" in english(ask(lawn, '[hazards]\nseptic = "none"').answer)


def test_digging_waits_for_the_lines_to_be_marked(ask):
    dry = 'soil = "lean clay"\nwetness = "dry"\ntravel = { "site soil" = "100 %" }'
    assert ask(dry, work="cut grade").tier.name == "bet"
    assert ask(dry, '[hazards]\nservices = "marked"', work="cut grade").tier.name == "send"
