"""Would a twenty-year operator agree? Our own guess at his answer to over forty jobs, and where the tool differs, why.

No operator was asked, and rules were changed where the panel showed them wrong: it keeps judgment and proves none.
"""

import pytest

from tests.panels.panel import load

PANEL = load()


def agrees(asked, ranking, rules):
    """The pick is one he would send, or the tool calls one of them equal to it; and none he would not hear of goes."""
    usable = [s for s in ranking if s.usable]
    if any(s.name in asked.out for s in usable):
        return False
    if not usable or not asked.sends:
        return not usable and not asked.sends
    equal = usable[0].score - rules.limits.close_call.value
    return any(s.name in asked.sends and s.score > equal for s in usable)


@pytest.mark.parametrize("asked", PANEL, ids=lambda asked: asked.name)
def test_the_operator_agrees_or_the_case_says_why_not(asked, tmp_path, rules):
    ranking = asked.ranking(tmp_path, rules)
    table = [(s.name, round(s.score, 1), s.usable) for s in ranking]
    if asked.tool:
        assert not agrees(asked, ranking, rules), f"they agree now: take `tool` out\n{table}"
    else:
        assert agrees(asked, ranking, rules), f"he sends {asked.sends or 'nobody'}: {asked.why}\n{table}"


def test_the_panel_is_wide():
    assert len(PANEL) >= 40
    assert len({asked.name for asked in PANEL}) == len(PANEL)
    assert all(asked.why for asked in PANEL)
    assert sum(bool(asked.tool) for asked in PANEL) <= len(PANEL) / 10, "too many differences to call it agreement"
    tables = [asked.job for asked in PANEL]
    assert len({job.get("ground", {}).get("soil") for job in tables}) >= 10
    assert len({job["task"]["kind"] for job in tables}) >= 9
    for part in ("snow", "weather", "hazards", "haul"):
        assert any(part in job for job in tables), part
