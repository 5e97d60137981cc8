"""Words of the manual: each caution and message that a template asks for exists; no caution is left over."""

import re
from string import Formatter
from typing import get_args

from jinja2 import nodes

from tests.words.rules import read_yaml
from vandoc.ground.chemistry import Care, known
from vandoc.ground.unknown import UNKNOWN_TEXT
from vandoc.judgement.checks.finding import SEVERITIES
from vandoc.model import equipment as eq
from vandoc.model.fitted import OF_WORKSHOP
from vandoc.pages.manual.electrician.pieces import NOT_DATA
from vandoc.pages.manual.page import CAUTIONS
from vandoc.pages.manual.text import HERE, WORDS, catalogue, environment

TEMPLATES = HERE / "templates"
CATALOGUES = HERE / "messages" / "en" / "pages"


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
        messages, rest = catalogue(key)
        assert isinstance(messages[rest], str | dict), key


def test_every_wording_of_a_template_is_asked_for_and_hides_no_other():
    asked = calls("say")
    for path in sorted(CATALOGUES.rglob("*.yml")):
        for key in read_yaml(path):
            assert f"{path.stem}.{key}" in asked, (path.name, key)
            assert key not in WORDS.tree.get(path.stem, {}), (path.name, key)


def test_every_value_that_a_wording_asks_for_is_given():
    for path in TEMPLATES.rglob("*.j2"):
        for call in environment().parse(path.read_text("utf-8")).find_all(nodes.Call):
            if isinstance(call.node, nodes.Name) and call.node.name == "say":
                first = call.args[0]
                if isinstance(first, nodes.Const):
                    messages, rest = catalogue(first.value)
                    wording = messages[rest]
                    named = {field for _, field, _, _ in Formatter().parse(str(wording)) if field}
                    given = {part.key for part in call.kwargs}
                    assert isinstance(wording, dict) or named == given, first.value


def test_every_choice_of_the_model_has_its_words():
    assert all(kind.words()["name"] for kind in eq.kinds().values())
    assert set(WORDS["family"]) == {*get_args(eq.FuseFamily), UNKNOWN_TEXT}
    assert set(WORDS["severity"]) == set(SEVERITIES)
    texts = {path.name.removesuffix(".md.j2") for path in TEMPLATES.glob("**/owner/chemistry/*")}
    assert texts == {*get_args(Care), "unknown"}
    assert {one.care for one in known().values()} == set(get_args(Care))


def test_every_field_of_an_item_has_its_words():
    fields = set()
    for part in (*eq.kinds().values(), eq.Profile, eq.Hours):
        fields |= set(part.model_fields) - NOT_DATA
    assert set(WORDS["field"]) >= fields


def test_what_the_workshop_bought_has_no_words_on_pages():
    assert OF_WORKSHOP <= NOT_DATA
    assert not OF_WORKSHOP & set(WORDS["field"])


def test_no_prose_of_pages_is_in_code():
    for path in HERE.rglob("*.py"):
        text = re.sub(r'""".*?"""|#[^\n]*', "", path.read_text("utf-8"), flags=re.DOTALL)
        prose = re.findall(r'"[A-Z][a-z]+ [a-z]+[^"\n]*[.?!]"', text)
        assert prose == [], path.name
