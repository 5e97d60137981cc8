"""Pairs of vans: one is dangerous, the other differs in a line or two and is sound.

Each file in `pairs/` is a list. A pair names a van of `pairs/vans/`, the `rule`, its `severity`, the
`subject`, and the changes `dangerous` and `sound`: lists of `{old, new}`, where `old` stands once in the van
file; without any the van stays as it is. `source` is what the verdict was taken from, outside this project:
title, edition and clause, or "common practice, no source"; `worked` is the calculation by hand. `nearest`
is what the nearest change of the dangerous van must name, `never` what it must not.
With `alone`, nothing else fails.
"""

from pathlib import Path

import pytest
import yaml

from vandoc.analysis import Van
from vandoc.judgement.checks import rules, run
from vandoc.judgement.remedy import findings
from vandoc.reading.loader import load

FOLDER = Path(__file__).with_name("pairs")
PAIRS = [
    {**pair, "file": path.stem}
    for path in sorted(FOLDER.glob("*.yml"))
    for pair in yaml.safe_load(path.read_text("utf-8"))
]


def written(pair, side, tmp_path):
    text = (FOLDER / "vans" / f"{pair['van']}.yml").read_text("utf-8")
    for change in pair.get(side, []):
        assert text.count(change["old"]) == 1, f"must stand once: {change['old']}"
        text = text.replace(change["old"], change["new"])
    path = tmp_path / "van.yml"
    path.write_text(text, "utf-8")
    return path


def judged(pair, side, tmp_path):
    path = written(pair, side, tmp_path)
    return [f for f in run(Van.of(load(path))) if f.severity != "note"]


def named(pair):
    return f"{pair['file']}-{pair['rule']}-{pair['subject']}"


@pytest.mark.parametrize("pair", PAIRS, ids=named)
def test_the_dangerous_van_is_found_and_the_sound_one_is_not(pair, tmp_path):
    assert pair["source"]
    assert pair["worked"]
    assert pair.get("dangerous", []) != pair.get("sound", [])
    at = (pair["rule"], pair["subject"])
    dangerous = judged(pair, "dangerous", tmp_path)
    found = [f for f in dangerous if (f.rule, f.subject) == at]
    assert [f.severity for f in found] == [pair["severity"]]
    assert not pair.get("alone") or all(f.severity != "fail" for f in dangerous)
    sound = judged(pair, "sound", tmp_path)
    assert [f for f in sound if (f.rule, f.subject) == at] == []
    assert [f"{f.rule} {f.subject}" for f in sound if f.severity == "fail"] == []


@pytest.mark.parametrize("pair", [pair for pair in PAIRS if "nearest" in pair], ids=named)
def test_the_nearest_change_is_the_one_worked_out_by_hand(pair, tmp_path):
    at = (pair["rule"], pair["subject"])
    found = findings(Van.of(load(written(pair, "dangerous", tmp_path))))
    (text,) = (f.nearest.text for f in found if (f.rule, f.subject) == at)
    assert pair["nearest"] in text
    assert pair.get("never", "\0") not in text


@pytest.mark.parametrize("pair", PAIRS, ids=named)
def test_the_rule_exists(pair):
    assert pair["severity"] in (rules()[pair["rule"]].severity, "review")
