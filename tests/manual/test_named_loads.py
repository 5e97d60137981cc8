"""The electrician's pages name what is on while a voltage is measured."""

import re

import pytest

from tests.manual.manuals import VANS, manual, page, words
from tests.manual.test_fault_pages import symptoms
from vandoc.pages.manual.page import CAUTIONS
from vandoc.pages.manual.trouble.symptoms import path_of


@pytest.mark.parametrize("van", VANS)
def test_no_page_says_all_loads(van):
    for fault in symptoms(van):
        for folder in ("fault", "electrician/fault"):
            assert not re.search(r"\ball loads\b", words(page(van, path_of(fault, folder))), re.IGNORECASE)


@pytest.mark.parametrize("van", VANS)
def test_a_proof_lamp_is_for_electricians_and_has_its_caution_first(van):
    lamps = 0
    for fault in symptoms(van):
        assert "proof lamp" not in words(page(van, path_of(fault)))
        told = words(page(van, path_of(fault, "electrician/fault")))
        if "Clip a proof lamp" in told:
            lamps += 1
            assert told.index(CAUTIONS["proof-lamp.hazard"]) < told.index("Clip a proof lamp")
            assert "fused no higher than the circuit" in told
    assert lamps


def test_the_lamp_and_the_load_are_named():
    told = words(page("wren", "electrician/fault/stopped-pump.md"))
    assert (
        "Switch this off: water pump. Clip a proof lamp (21 W, 12 V, fused no higher than the circuit)"
        in told
    )
    told = words(page("wren", "electrician/fault/stopped-roof-lights.md"))
    assert "Switch on only this: roof lights. All charging sources off." in told
    assert "Switch off everything else first." in str(manual("wren").files["fault/stopped-pump.md"])
