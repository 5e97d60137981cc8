"""Mutants are made for every caution and the list fits the code; a fixed sample of them is noticed.

All of them are tried by `tests/benchmarks/said_mutants.py`.
"""

from dataclasses import replace

import pytest
import yaml

from tests.conftest import ROOT
from tests.says.killing import Copy
from tests.says.mutants import MANUAL, by_hand, every, of_cautions

FEWEST = 500
ONE_VAN = ("tests/says/test_table.py", "-k", "nothing_that_it_must_not and flooded-48")
SAMPLE = {
    "acid silent": ONE_VAN,
    "least charge at rest,40": ("tests/commissioning/test_limits.py", "-k", "bare"),
}


def test_the_list_fits_the_code_and_each_mutant_changes_its_file():
    made = list(every())
    assert len(made) > FEWEST
    for mutant in made:
        assert mutant.text != (ROOT / mutant.path).read_text("utf-8"), mutant.what
    assert len({(mutant.path, mutant.text) for mutant in made}) == len(made)


def test_each_caution_has_mutants_for_each_of_its_sentences():
    tree = yaml.safe_load((ROOT / MANUAL / "messages/en/cautions.yml").read_text("utf-8"))
    for name, caution in tree.items():
        sentences = sum(caution[part].count(".") for part in ("hazard", "consequence", "avoid"))
        mine = [mutant for mutant in of_cautions() if mutant.what.startswith(f"{name} ")]
        assert len(mine) == 2 + ("when" in caution) + sentences


@pytest.fixture(scope="module")
def copy(tmp_path_factory):
    return Copy(tmp_path_factory.mktemp("mutants") / "copy")


@pytest.mark.parametrize("part", SAMPLE)
def test_a_mutant_is_noticed(part, copy):
    (mutant,) = (one for one in (*of_cautions(), *by_hand()) if part in one.what.removeprefix("lead-"))
    assert not copy.survives(replace(mutant, tests=SAMPLE[part]))
