"""YAML to a tree with places: against PyYAML, and by the words of YAML 1.2.2."""

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from vandoc.ground.errors import SystemFileError
from vandoc.reading.yamltree import parse

# How a scalar is written, and what it means here. YAML 1.2.2, 10.3.2 (core schema) is followed where nobody
# could read it otherwise; the rest stays the text it looks like.
SCALARS = [
    ("12", 12),
    ("-3", -3),
    ("1.5", 1.5),
    ("true", True),
    ("false", False),
    ("~", None),
    ("null", None),
    ("", None),
    ("on", "on"),
    ("yes", "yes"),
    ("off", "off"),
    ("True", "True"),
    ("12:30", "12:30"),
    ("010", "010"),
    ("0x1f", "0x1f"),
    ("1_000", "1_000"),
    ("1e3", "1e3"),
    (".inf", ".inf"),
    (".nan", ".nan"),
    ("2026-05-12", "2026-05-12"),
    ('"12"', "12"),
    ("'true'", "true"),
    ("35 mm²", "35 mm²"),
    ("9" * 15, int("9" * 15)),
    ("9" * 40, "9" * 40),
]


@pytest.mark.parametrize(("written", "meant"), SCALARS)
def test_scalars_have_their_type(written, meant):
    value = parse(f"a: {written}\n", "x").value["a"].value
    assert value == meant
    assert type(value) is type(meant)


def test_each_value_and_key_knows_its_place():
    tree = parse("a: 1\nlist:\n  - x\n  - {b: 2, c: [3, 4]}\ntext: |\n  one\n  two\n", "van.yml")

    def at(*steps):
        node = tree
        for step in steps:
            node = node.value[step]
        return str(node.location)

    assert at("a") == "van.yml:1:4"
    assert at("list", 0) == "van.yml:3:5"
    assert at("list", 1, "c", 1) == "van.yml:4:19"
    assert at("text") == "van.yml:5:7"
    assert str(tree.keys["text"]) == "van.yml:5:1"
    assert str(tree.value["list"].value[1].keys["c"]) == "van.yml:4:12"
    assert tree.plain() == {"a": 1, "list": ["x", {"b": 2, "c": [3, 4]}], "text": "one\ntwo\n"}


LETTERS = st.characters(
    codec="utf-8", exclude_categories=["Cc", "Cs"], exclude_characters="\u2028\u2029\ufeff\x85"
)
WORDS = st.text(LETTERS, max_size=12)
TREES = st.recursive(
    WORDS | st.integers(-(10**9), 10**9) | st.booleans() | st.none(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(WORDS, inner, max_size=3),
    max_leaves=15,
)


@settings(max_examples=200, deadline=None)
@given(st.dictionaries(WORDS, TREES, min_size=1, max_size=4), st.booleans())
def test_output_of_pyyaml_is_read_back(data, flow):
    text = yaml.safe_dump(data, allow_unicode=True, default_flow_style=flow, sort_keys=False, width=60)
    assert parse(text, "x").plain() == data


def test_every_repeated_key_alias_and_tag_is_reported_at_once():
    with pytest.raises(SystemFileError) as caught:
        parse("a: &x 1\nb: *x\na: 2\nc: !tag 3\nd: {e: 1, e: 2}\n", "f")
    assert [str(problem) for problem in caught.value.problems] == [
        "f:2:4: YAML aliases (*name) are not supported; use a part sheet for repeated items",
        "f:3:1: 'a' appears twice, first on line 1; remove one",
        "f:4:4: the tag '!tag' is not supported; remove it",
        "f:5:11: 'e' appears twice, first on line 5; remove one",
    ]
