"""The rule tables: every number sourced, every source used, every name pointing somewhere."""

from pickrig.checks import CHECKS
from pickrig.rulebook.loading import cited_rows
from pickrig.scoring import piecewise_value


def test_every_source_is_used_and_every_row_has_a_status(rules):
    rows = list(cited_rows(rules))
    assert {row.source for _, row in rows} - {None} == set(rules.sources)
    assert all(row.status for _, row in rows)


def test_every_question_has_a_curve_and_a_place_in_every_ranking(rules):
    assert set(rules.questions) == set(CHECKS)
    for work in rules.work.values():
        assert sorted(work.ranking) == sorted(CHECKS)
        assert work.attachment in rules.attachments


def test_curves_are_monotone_and_cover_their_limits(rules):
    for name, curve in rules.questions.items():
        piecewise_value(curve.points, curve.points, curve.values)  # raises on a curve that turns back
        assert {curve.values[0], curve.values[-1]} == {0.0, 1.0}, name
    assert rules.questions["floats"].points[0] == rules.limits.floats.caution
    assert rules.questions["fits"].points[0] == rules.limits.fits.caution_m


def test_names_of_soils_and_surfaces_are_never_shared(rules):
    for table in (rules.soils, rules.surfaces):
        names = [n.lower() for key, row in table.items() for n in {key, getattr(row, "name", key), *row.also}]
        assert len(names) == len(set(names))


def test_soils_point_at_presumptive_rows_and_stay_below_saturation(rules):
    for key, soil in rules.soils.items():
        assert soil.presumptive == "none" or soil.presumptive in rules.presumptive
        if soil.family == "fine":
            assert soil.moisture.dry < soil.moisture.moist < soil.moisture.wet
            assert soil.moisture.wet < 1000 / soil.dry_density - 1000 / rules.strength["solids_density"].value, key


def test_every_attachment_comes_in_every_frame_a_machine_may_have(rules):
    for sizes in rules.attachments.values():
        assert set(sizes) == {"stand-on", "compact"}
