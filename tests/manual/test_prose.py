"""How the owner's pages speak: short sentences, whole cautions, every word they ask for there."""

import re
from pathlib import Path
from typing import get_args

import pytest
from jinja2 import nodes

from vandoc.checks.finding import SEVERITIES
from vandoc.manual.electrician.pieces import ELSEWHERE
from vandoc.manual.page import CAUTIONS
from vandoc.manual.text import HERE, WORDS, environment
from vandoc.model import equipment as eq

TEMPLATES = HERE / "templates" / "en"
MOST_WORDS = 15  # our own rule: a worried reader follows one short sentence at a time
ELECTRICIAN = {"electrician", "lists"}
OWNER = sorted(
    path
    for path in TEMPLATES.rglob("*.j2")
    if path.relative_to(TEMPLATES).parts[0] not in ELECTRICIAN
    and path.stem not in ("tracing.md", "phrases.md")  # each for both readers, or the electrician alone
)


def sentences(text: str) -> list[str]:
    """Sentences of a template; a value counts as one word, markup as none, a block ends a sentence."""

    def literal(match: re.Match[str]) -> str:
        if re.match(r"\s*note\(", match[1]):
            return " "
        texts = re.findall(r'"((?:[^"\\]|\\.)*)"', match[1])
        apart = re.match(r"\s*(choice|doors|facts|figure|quiet_link|signal)\(", match[1])
        return (". " if apart else " X ").join(
            part for part in texts if " " in part or not re.search(r"[/.#]", part)
        ) or "X"

    text = re.sub(r"\{#.*?#\}", "", text, flags=re.DOTALL)
    text = re.sub(r"\{%.*?%\}", ". ", text, flags=re.DOTALL)
    text = re.sub(r"\{\{(.*?)\}\}", literal, text, flags=re.DOTALL)
    text = re.sub(r"<[^>]*>", ". ", text)
    text = re.sub(r"^\s*(#+|-|\d+\.|\|.*\|)\s*|\n\s*\n", ". ", text, flags=re.MULTILINE)
    text = re.sub(r"\s+", " ", text.replace("**", ""))
    return [part.strip() for part in re.split(r"(?<=[.?!:;])\s|\. ", text) if part.strip(" .")]


def too_long(found: list[str]) -> list[str]:
    return [sentence for sentence in found if len(re.findall(r"[\w'’-]+", sentence)) > MOST_WORDS]


def test_the_counting_sees_a_long_sentence():
    assert too_long(sentences("{{ step('x') }} " + "word " * 16)) != []
    assert too_long(sentences("# Title\n\nOne two three. Four {{ five }} six.\n- seven\n")) == []


@pytest.mark.parametrize("path", OWNER, ids=lambda path: str(path.relative_to(TEMPLATES)))
def test_owner_sentences_are_short(path: Path):
    assert too_long(sentences(path.read_text("utf-8"))) == []


@pytest.mark.parametrize("name", list(CAUTIONS.tree))
def test_a_caution_is_whole_and_short(name):
    # ANSI Z535.4 / Z535.6: signal word, hazard, consequence, how to avoid it.
    entry = CAUTIONS[name]
    assert entry["signal"] in ("DANGER", "WARNING", "CAUTION", "NOTICE")
    for part in ("hazard", "consequence", "avoid"):
        assert entry[part].endswith(".")
        assert too_long(sentences(entry[part])) == [], part


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


def test_every_field_of_a_piece_has_its_words():
    fields = set()
    for part in (*get_args(eq.AnyPiece), eq.Profile, eq.Hours):
        fields |= set(part.model_fields) - ELSEWHERE
    assert set(WORDS["field"]) >= fields


def test_no_page_prose_stands_in_code():
    for path in HERE.rglob("*.py"):
        text = re.sub(r'""".*?"""|#[^\n]*', "", path.read_text("utf-8"), flags=re.DOTALL)
        prose = re.findall(r'"[A-Z][a-z]+ [a-z]+[^"\n]*[.?!]"', text)
        assert prose == [], path.name
