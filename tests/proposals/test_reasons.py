"""What decided a proposed size is said by a wording of its own, not read out of a sentence."""

import json
from typing import get_args

import pytest
from click.testing import CliRunner

from tests.conftest import DEMO_VANS
from vandoc.doors.cli import main
from vandoc.ground.messages import Messages
from vandoc.judgement import proposals
from vandoc.model.base import Decided
from vandoc.physics.sizing import results

WORDS = Messages("vandoc.judgement.proposals", "reasons")


def listed(*args: str) -> list[dict[str, str]]:
    result = CliRunner().invoke(main, ["size", "--format", "json", *args])
    return json.loads(result.stdout)["vans"][0]["items"]


@pytest.mark.parametrize("van", DEMO_VANS, ids=lambda path: path.parent.name)
def test_each_proposal_names_its_rule_and_then_its_figures(van):
    items = listed(str(van))
    assert items
    for item in items:
        rules = {entry["decided"] for entry in WORDS[item["what"]].values()}
        assert item["decided"] in rules
        assert item["reason"].startswith(f"{item['decided']}: ")


def test_the_rule_is_not_read_out_of_the_sentence(monkeypatch):
    """Whatever the sentence looks like: here the figures come first, and the rule has a colon in it."""
    tree = WORDS.tree | {"reason": "{figures} ({decided})"}
    tree["cable"] = {name: entry | {"decided": "a rule: named"} for name, entry in tree["cable"].items()}
    changed = type("Changed", (Messages,), {"tree": tree})("vandoc.judgement.proposals", "reasons")
    monkeypatch.setattr(proposals, "say", changed.say)
    cables = [item for item in listed(str(DEMO_VANS[0])) if item["what"] == "cable"]
    assert {item["decided"] for item in cables} == {"a rule: named"}
    assert all(item["reason"].endswith("(a rule: named)") for item in cables)


def test_every_rule_that_can_decide_has_its_words():
    said = {what: set(WORDS[what]) for what in proposals.PROPOSAL_KINDS}
    assert said["battery"] | said["charger"] == set(get_args(Decided))
    assert said["cable"] == set(get_args(results.Decided)) - {"given"}
