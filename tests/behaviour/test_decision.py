"""A decision one can argue with: weights, robustness, money and reasons, moving the right way."""

import numpy as np
import pytest

from pickrig.inputs import read_job
from pickrig.plans.pick.answer import pick
from tests.conftest import english


def own(answer_to, *weights):
    return answer_to(("[access]", f"[weights]\n{weights[0]}\n\n[access]"))


def test_one_rank_changed_says_which_machine_moved_how_far_and_through_what(answer_to):
    usual, mine = answer_to(), own(answer_to, 'ranking = ["wears"]')
    assert usual.moved == ()
    assert next(iter(mine.weights)) == "wears"
    before = {s.name: s.score for s in usual.ranking}
    for moved in mine.moved:
        now = next(s for s in mine.ranking if s.name == moved.machine)
        assert moved.points == pytest.approx(now.score - before[moved.machine], abs=1e-9)
        assert moved.through in mine.weights
    assert any(moved.through == "wears" for moved in mine.moved)


def test_points_weigh_by_their_shares_and_unnamed_questions_nothing(answer_to):
    answer = own(answer_to, "points = { floats = 100, lifts = 50 }")
    assert answer.weights["floats"] == pytest.approx(2 / 3)
    assert answer.weights["lifts"] == pytest.approx(1 / 3)
    assert answer.weights["wears"] == 0


def test_the_weights_are_told_as_a_trade_between_swings(answer_to):
    answer = answer_to()
    first, second = list(answer.weights)[:2]
    ratio = answer.weights[first] / answer.weights[second]
    assert f"counts {ratio:.1f} times as much as going {answer.questions[second].swing}" in english(answer.weighed)


def test_shares_are_shares_and_the_interval_holds_on_the_real_scores(answer_to):
    answer = answer_to()
    robust = answer.robust
    for shares in (robust.in_order, robust.in_any):
        assert sum(shares.values()) == pytest.approx(1)
    assert sum(robust.with_ground.values()) + robust.none_holds == pytest.approx(1)
    heavy = np.array(list(answer.weights.values()))
    rows = [np.array(s.parts) / (100 * heavy) for s in (answer.pick, answer.runner_up)]
    for k, interval in enumerate(robust.intervals):
        assert interval.low <= interval.weight <= interval.high
        for end, inside in ((interval.low, 1e-6), (interval.high, -1e-6)):
            if end in (0.0, 1.0):
                continue
            for step, leads in ((inside, True), (-inside, False)):
                moved = heavy * (1 - (end + step)) / (1 - heavy[k])
                moved[k] = end + step
                assert (rows[0] @ moved > rows[1] @ moved) is np.bool_(leads)


def test_the_ground_drawn_along_costs_the_machine_that_bogs(answer_to):
    wet, dry = answer_to(), answer_to(('wetness = "wet"', 'wetness = "dry"'))
    assert wet.robust.none_holds > 0.1
    assert dry.robust.none_holds == 0
    assert wet.robust.with_ground[wet.pick.name] <= wet.pick.finding("floats").chance + 1e-9


def test_money_adds_up_and_stands_beside_the_score(answer_to):
    answer = answer_to()
    totals = [c.total for c in answer.costs]
    assert totals == sorted(totals)
    for c in answer.costs:
        assert c.total == pytest.approx(c.work + c.rubber + c.bogging + c.repair)
    wide = next(c for c in answer.costs if c.machine == "Wide-track 68")
    chance = answer.pick.finding("floats").chance
    assert wide.bogging == pytest.approx((1 - chance) * (500 + 600))
    assert wide.work == pytest.approx(95 * answer.pick.finding("produces").seconds / 3600)
    dearer = answer_to(("[access]", '[costs]\nrecovery = "$5,000"\n\n[access]'))
    assert [s.score for s in dearer.ranking] == [s.score for s in answer.ranking]
    assert next(c for c in dearer.costs if c.machine == "Wide-track 68").bogging > wide.bogging


def test_best_and_cheapest_are_told_apart(edited, rules, fleet):
    job = read_job(edited("load-out.toml", ("[access]", '[weights]\nranking = ["wears"]\n\n[access]')), rules)
    answer = pick(job, fleet, rules)
    cheapest = answer.costs[0].machine
    assert cheapest != answer.pick.name
    assert "The best is not the cheapest" in english(answer.money_says)
    assert cheapest in english(answer.money_says)


def test_an_hour_of_ones_own_machine_can_cost_its_own(answer_to, fleet):
    dear = fleet.model_copy(
        update={
            "machines": tuple(
                m.model_copy(update={"hour_cost": 200.0}) if m.name == "Wide-track 68" else m for m in fleet.machines
            )
        }
    )
    cost = {c.machine: c for c in answer_to(machines=dear).costs}
    usual = {c.machine: c for c in answer_to().costs}
    assert cost["Wide-track 68"].work == pytest.approx(usual["Wide-track 68"].work * 200 / 95)
    assert cost["Tracked 64"].work == pytest.approx(usual["Tracked 64"].work)


def test_what_would_make_another_the_pick_does(answer_to, fleet):
    answer = own(answer_to, 'ranking = ["wears"]')
    rival = next(c for c in answer.catch_ups if c.machine == "Tracked 64")
    rate = next(at for way in rival.ways if (at := way.value("at")).dimension == "rate of cost").value
    now = next(s for s in answer.ranking if s.name == "Tracked 64").finding("wears").value

    def cheaper(factor):
        machines = tuple(
            m.model_copy(update={"tracks": m.tracks.model_copy(update={"set_price": m.tracks.set_price * factor})})
            if m.name == "Tracked 64"
            else m
            for m in fleet.machines
        )
        changed = fleet.model_copy(update={"machines": machines})
        replaced = ("[access]", '[weights]\nranking = ["wears"]\n\n[access]')
        return answer_to(replaced, machines=changed).pick.name

    assert cheaper(rate / now * 0.97) == "Tracked 64"
    assert cheaper(rate / now * 1.03) == answer.pick.name


def test_a_machine_beaten_throughout_is_named(answer_to, fleet):
    wide = next(m for m in fleet.machines if m.name == "Wide-track 68")
    dearer = wide.tracks.model_copy(update={"set_price": 1.5 * wide.tracks.set_price})
    worse = wide.model_copy(update={"name": "Dearer rubber", "tracks": dearer})
    answer = answer_to(machines=fleet.model_copy(update={"machines": (*fleet.machines, worse)}))
    assert answer.robust.beaten["Dearer rubber"] == "Wide-track 68"
    assert "Wide-track 68" not in answer.robust.beaten
