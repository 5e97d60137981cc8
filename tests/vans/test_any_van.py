"""Whatever a van file that is taken may hold, it is sized and judged; nothing in it makes vandoc stumble."""

import math
import re
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from vandoc.analysis import Van
from vandoc.ground.errors import SystemFileError
from vandoc.judgement.checks import run
from vandoc.reading.loader import load

SITES = Path(__file__).parents[2] / "sites"
TEXTS = {name: (SITES / name / "van.yml").read_text("utf-8") for name in ("curlew", "heron", "wren")}
QUANTITY = re.compile(r"(?<=: )-?[0-9.]+ (V|A|Ah|W|m|mm²|°C|N·m|%|%/K|cm²|h)(?=[,}\n\]])")
ENTRY = re.compile(r"^  - (?:\{(?:id|from): .*\}\n|id: .*\n(?:    .*\n)+)", re.MULTILINE)  # cable or circuit
PICKS = st.integers(0, 10**6)
ENDS = {
    "V": ["0.001 V", "1000 V"],
    "A": ["0.001 A", "0 A", "100000 A"],
    "Ah": ["0.001 Ah", "100000 Ah"],
    "W": ["0 W", "0.001 W", "1000000 W"],
    "m": ["0 m", "1000 m"],
    "mm²": ["0.5 mm²", "120 mm²", "20 AWG"],
    "°C": ["-60 °C", "300 °C"],
    "N·m": ["0.001 N·m", "1000 N·m"],
    "%": ["0.001 %", "100 %"],
    "%/K": ["-5 %/K", "5 %/K"],
    "cm²": ["0 cm²", "100000 cm²"],
    "h": ["0 h", "24 h"],
}


@pytest.fixture
def judge(tmp_path):
    (tmp_path / "parts").symlink_to(SITES / "parts")
    (tmp_path / "van").mkdir()
    (tmp_path / "van" / "seat-box.png").write_bytes((SITES / "curlew" / "seat-box.png").read_bytes())

    def judge(text):
        """Judge a van; a refusal to read it is as good, anything else raised is a fault of ours."""
        path = tmp_path / "van" / "van.yml"
        path.write_text(text, "utf-8")
        try:
            van_file = load(path)
        except SystemFileError:
            return
        van = Van.of(van_file)
        for finding in run(van):
            assert "nan" not in finding.message.split()
            assert finding.value is None or not math.isnan(finding.value)
        for solution in van.sizing.states.values():
            assert all(map(math.isfinite, (*solution.volts.values(), *solution.amps.values())))

    return judge


THOROUGH = settings(
    max_examples=30, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


@THOROUGH
@given(st.sampled_from(["heron", "wren"]), st.lists(PICKS, min_size=1, max_size=3))
def test_a_van_with_extreme_quantities_is_handled(judge, name, picks):
    text = TEXTS[name]
    for pick in picks:
        found = list(QUANTITY.finditer(text))
        match = found[pick % len(found)]
        ends = ENDS[match[1]]
        text = text[: match.start()] + ends[pick // len(found) % len(ends)] + text[match.end() :]
    judge(text)


@THOROUGH
@given(st.sampled_from(["heron", "wren"]), st.lists(PICKS, min_size=1, max_size=4))
def test_a_van_without_some_cables_and_circuits_is_handled(judge, name, picks):
    text = TEXTS[name]
    for pick in picks:
        entries = list(ENTRY.finditer(text))
        match = entries[pick % len(entries)]
        text = text[: match.start()] + text[match.end() :]
    judge(text)


@THOROUGH
@given(st.sampled_from(["heron", "wren"]), st.lists(st.tuples(PICKS, PICKS), min_size=1, max_size=3))
def test_a_van_with_cables_at_other_terminals_is_handled(judge, name, picks):
    text = TEXTS[name]
    terminals = re.findall(r"(?:from|to|return): ([a-z][a-z0-9.+-]*)", text)
    for pick, target in picks:
        ends = list(re.finditer(r"(?<=from: )[a-z][a-z0-9.+-]*|(?<= to: )[a-z][a-z0-9.+-]*", text))
        match = ends[pick % len(ends)]
        text = text[: match.start()] + terminals[target % len(terminals)] + text[match.end() :]
    judge(text)
