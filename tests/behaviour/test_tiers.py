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
