"""Sixteen soils, four wetnesses, six machines: as an engineer expected, and wetter never stronger."""

import itertools

import pytest

from tests.panels.matrix import ASKED, LETTER, MATRIX, WETNESS, expected, page, standings, verdict


@pytest.fixture(scope="module")
def found(rules, tmp_path_factory):
    folder = tmp_path_factory.mktemp("matrix")
    return {
        (soil, wetness): {s.name: s for s in standings(soil, wetness, folder, rules)}
        for soil in expected()
        for wetness in WETNESS
    }


@pytest.mark.parametrize("soil", expected())
@pytest.mark.parametrize("wetness", WETNESS)
def test_no_cell_to_laugh_at(found, soil, wetness):
    row, by_name = expected()[soil], found[soil, wetness]
    told = [LETTER[verdict(by_name[name])] for name in ASKED]
    fits = all(letter in allowed for letter, allowed in zip(told, row[wetness], strict=True))
    assert fits != (f"{wetness}_remark" in row), (told, row[wetness])


@pytest.mark.parametrize("soil", expected())
def test_wetter_is_never_stronger_but_for_damp_sand(found, soil, rules):
    order = list(WETNESS)[1:] if rules.soils[soil].family == "sand" else list(WETNESS)
    for drier, wetter in itertools.pairwise(order):
        for name, standing in found[soil, drier].items():
            before, after = (s.finding("floats").chance for s in (standing, found[soil, wetter][name]))
            assert before is None or after <= before + 1e-9, (name, drier, wetter)


def test_the_page_is_the_one_the_matrix_makes(rules):
    assert page(rules) == MATRIX.read_text(encoding="utf-8"), "run: python -m tests.panels.matrix"
