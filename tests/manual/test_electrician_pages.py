"""The electrician's pages: complete, with sums and sources, and honest about what is proposed or recalled."""

from os.path import relpath

import pytest

from tests.manual.manuals import VANS, judged, page, words
from vandoc.judgement import checks
from vandoc.judgement.remedy import findings
from vandoc.pages.manual.electrician.wiring import cable_anchor


def table_rows(tree, number=0):
    table = list(tree.iter("table"))[number]
    return [[words(cell) for cell in row if cell.tag == "td"] for row in table.iter("tr")][1:]


@pytest.mark.parametrize("van", VANS)
def test_every_finding_has_its_sum_source_and_place(van):
    said = words(page(van, "electrician/findings.md"))
    assert findings(judged(van))
    for finding in findings(judged(van)):
        file = relpath(finding.file, f"sites/{van}")  # a folder above may bear a customer's name
        place = f"{file}:{finding.line}:{finding.column}"
        for text in (finding.message, *finding.working.splitlines(), finding.source, place):
            assert " ".join(text.split()) in said


@pytest.mark.parametrize("van", VANS)
def test_every_rule_has_its_reason_and_its_anchor(van):
    tree = page(van, "electrician/rules.md")
    anchors = {element.get("id") for element in tree.iter() if element.get("id")}
    said = words(tree)
    for slug, rule in checks.rules().items():
        assert slug in anchors
        assert " ".join(rule.why.split()) in said
        assert " ".join(rule.cure.split()) in said


@pytest.mark.parametrize("van", VANS)
def test_the_cable_list_has_every_conductor_with_its_size_and_currents(van):
    tree = page(van, "electrician/cables.md")
    rows = {row[0]: row for row in table_rows(tree)}
    sized = judged(van).sizing.conductors
    assert rows.keys() == sized.keys()
    for ident, one in sized.items():
        row = rows[ident]
        assert row[3] == (f"{one.size} proposed" if one.proposed else one.size)
        assert float(row[9]) == pytest.approx(one.design_a, rel=6e-3, abs=1e-3)
        judgeable = one.capacities and not one.conductor.vehicle and not one.conductor.signal
        if judgeable:
            assert float(row[10]) == pytest.approx(one.capacity_a, rel=6e-3)
            assert ("from memory" in row[11]) == one.capacities[0].from_memory
    anchors = {element.get("id") for element in tree.iter() if element.get("id")}
    assert {cable_anchor(ident) for ident in sized} <= anchors


@pytest.mark.parametrize("van", VANS)
def test_each_sum_of_a_capacity_comes_out(van):
    rows = table_rows(page(van, "electrician/cables.md"), 1)
    assert rows
    for row in rows:
        base, ambient, grouping, installation, amps = (float(text) for text in row[2:7])
        assert base * ambient * grouping * installation == pytest.approx(amps, rel=0.015)


@pytest.mark.parametrize("van", VANS)
def test_the_list_of_circuits_has_each_with_its_drop_and_limit(van):
    rows = {row[0]: row for row in table_rows(page(van, "electrician/circuits.md"))}
    for circuit in judged(van).system.circuits:
        row = rows[circuit.name or circuit.id]
        drops = [judged(van).sizing.drops[load] for load in circuit.loads]
        assert float(row[8]) == pytest.approx(max(drop.percent for drop in drops), rel=6e-3)


def volts(text: str) -> float:
    """The voltage at the beginning of a text. [V]"""
    number, unit = text.split()[:2]
    return float(number.replace("−", "-")) * {"V": 1, "mV": 1e-3}[unit.rstrip(".,;")]


@pytest.mark.parametrize("van", VANS)
def test_each_drop_is_the_sum_of_its_steps(van):
    tree = page(van, "electrician/circuits.md")
    block = next(div for div in tree.iter("div") if div.get("id") == "drops")
    details = list(block.iter("details"))
    assert len(details) == len(judged(van).sizing.drops)
    for detail in details:
        total = volts(words(detail.find("summary")).split(": ")[1])
        summed = sum(volts(words(step).rsplit("= ", 1)[1]) for step in detail.iter("li"))
        assert abs(summed) == pytest.approx(total, rel=0.02, abs=2e-3)


@pytest.mark.parametrize("van", VANS)
def test_each_item_has_a_page_with_its_terminals_and_place(van):
    found = judged(van)
    for ident, piece in found.system.equipment.items():
        said = words(page(van, f"electrician/piece/{ident}.md"))
        assert found.system.places[piece.place].label in said
        joined = [
            c
            for c in found.network.conductors.values()
            if ident in (c.start.split(".")[0], c.end.split(".")[0])
        ]
        for conductor in joined:
            assert conductor.id in said


@pytest.mark.parametrize("van", VANS)
def test_proposed_sizes_are_listed_as_proposed(van):
    said = words(page(van, "electrician/index.md"))
    for ident, one in judged(van).sizing.conductors.items():
        assert (ident in said) == one.proposed or ident in ("minus",)


@pytest.mark.parametrize("van", VANS)
def test_every_sheet_of_the_diagram_is_reached_from_the_first(van):
    links = {link.get("href") for link in page(van, "electrician/diagram.md").iter("a")}
    from tests.manual.manuals import manual

    paths = [path for path in manual(van).files if path.startswith("electrician/diagram-")]
    sheets = {path.split("/")[1].replace(".md", ".html") for path in paths}
    assert sheets
    assert sheets <= links


def test_mains_is_recorded_and_never_assessed():
    said = words(page("curlew", "electrician/mains.md"))
    for text in ("30 mA, type A", "two-pole circuit breaker, 10 A", "12 March 2023", "licensed practice"):
        assert text in said
    assert not {"pass", "fail", "complies"} & set(said.lower().replace(".", " ").split())


def test_readings_and_services_are_shown_as_they_were_written():
    said = words(page("curlew", "electrician/records.md"))
    assert "13.32 V" in said
    assert "one hour after the last charge" in said
    for service in judged("heron").system.services:
        assert service.by in words(page("heron", "electrician/records.md"))
