"""Words of the manual: each caution and message that a template asks for exists; no caution is left over."""

import re
from typing import get_args

from jinja2 import nodes

from vandoc.judgement.checks.finding import SEVERITIES
from vandoc.model import equipment as eq
from vandoc.pages.manual.electrician.pieces import ELSEWHERE
from vandoc.pages.manual.page import CAUTIONS
from vandoc.pages.manual.text import HERE, WORDS, environment

TEMPLATES = HERE / "templates" / "en"


def calls(name: str) -> set[str]:
    """The literal first arguments with which templates call a function."""
    found = set()
    for path in TEMPLATES.rglob("*.j2"):
        tree = environment().parse(path.read_text("utf-8"))
        for call in tree.find_all(nodes.Call):
            if isinstance(call.node, nodes.Name) and call.node.name == name and call.args:
                first = call.args[0]
                if isinstance(first, nodes.Const):
                    found.add(first.value)
    return found


def test_every_caution_is_used_and_every_used_one_exists():
    assert calls("caution") == set(CAUTIONS.tree)


def test_every_message_that_a_template_asks_for_exists():
    asked = calls("say")
    assert len(asked) > 5
    for key in asked:
        assert isinstance(WORDS[key], str), key


def test_every_choice_of_the_model_has_its_words():
    pieces = get_args(eq.AnyPiece)
    assert set(WORDS["kind"]) == {get_args(piece.model_fields["kind"].annotation)[0] for piece in pieces}
    assert set(WORDS["family"]) == set(get_args(eq.FuseFamily))
    assert set(WORDS["chemistry"]) == set(get_args(eq.Chemistry))
    assert set(WORDS["severity"]) == set(SEVERITIES)
    chemistries = {path.name.removesuffix(".md.j2") for path in (TEMPLATES / "owner" / "chemistry").iterdir()}
    assert chemistries == set(get_args(eq.Chemistry))


def test_every_field_of_an_item_has_its_words():
    fields = set()
    for part in (*get_args(eq.AnyPiece), eq.Profile, eq.Hours):
        fields |= set(part.model_fields) - ELSEWHERE
    assert set(WORDS["field"]) >= fields


def test_no_prose_of_pages_is_in_code():
    for path in HERE.rglob("*.py"):
        text = re.sub(r'""".*?"""|#[^\n]*', "", path.read_text("utf-8"), flags=re.DOTALL)
        prose = re.findall(r'"[A-Z][a-z]+ [a-z]+[^"\n]*[.?!]"', text)
        assert prose == [], path.name
