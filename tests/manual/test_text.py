"""Text of a van file is inert in Markdown and HTML, in every position where a template puts it."""

import html
import unicodedata
from functools import cache

import html5lib
import jinja2
import markdown
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vandoc.ground.figures import quantity
from vandoc.pages.manual.settings import markdown_extensions
from vandoc.pages.manual.text import (
    Markup,
    clean,
    environment,
    escape_text,
    escape_title,
    say,
)

# Where a value may stand, and the elements that the position itself makes.
POSITIONS = {
    "paragraph": ("{}", ["p"]),
    "after words": ("Where: {} and on.", ["p"]),
    "second line": ("first\n{}", ["p"]),
    "heading": ("# {}", ["h1"]),
    "bold": ("**{}** on", ["p", "strong"]),
    "list item": ("- {}", ["ul", "li"]),
    "table cell": (
        "| a | b |\n| --- | --- |\n| {} | c |",
        ["table", "thead", "tr", "th", "th", "tbody", "tr", "td", "td"],
    ),
    "link text": ("[{}](other.md)", ["p", "a"]),
    "raw HTML": ("<div>\n<p>{}</p>\n</div>", ["div", "p"]),
    "attribute": ('<div title="{}"></div>', ["div"]),
    "Markdown in HTML": ('<details markdown="1">\n<summary>s</summary>\n\n{}\n\n</details>', None),
}

# What Markdown, Python-Markdown's extensions, HTML or a template would take for markup.
TRICKS = [
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "[x](javascript:alert(1))",
    "![x](https://a.example/x.png)",
    "<https://a.example>",
    "[x]: https://a.example",
    "[^1]",
    "[^1]: note",
    "*[HTML]: Hyper",
    "{: onclick=alert(1) }",
    "{ #anchor .class }",
    "{{ 7 * 7 }}{% raw %}{# #}",
    "`code` | *em* | _em_ | **b**",
    "- item",
    "+ item",
    "1. item",
    "٣. item",
    "# heading",
    "> quote",
    "---",
    "===",
    "***",
    "~~~",
    "```\ncode\n```",
    "    code",
    "\tcode",
    "a  \nb",
    "&lt;b&gt; &#60;b&#62; &amp;",
    "<!-- -->",
    "]]>",
    "</details></div>",
    "\\*a\\*",
    "\x02amp\x03 \x02wzxhzdk:0\x03",
    "a\u2028- b\u2029# c\x85> d",
    "\u202egnp.exe",
    ": definition",
    "^",
]


@cache
def converter() -> markdown.Markdown:
    found = markdown_extensions()
    return markdown.Markdown(extensions=list(found), extension_configs=found)


def tree_of(text: str):
    return html5lib.parseFragment(converter().reset().convert(text), namespaceHTMLElements=False)


def tags(tree) -> list[str]:
    return [element.tag for element in tree.iter() if element is not tree]


def assert_inert(text: str) -> None:
    escaped = escape_text(text)
    plain = " ".join(clean(text).split())
    for name, (template, wanted) in POSITIONS.items():
        tree = tree_of(template.format(escaped))
        if wanted is None:
            wanted = tags(tree_of(template.format("word" if plain else "")))
        if plain or name not in ("heading", "list item", "link text", "paragraph", "bold"):
            assert tags(tree) == wanted, f"{name}: {text!r}"
        words = [" ".join((element.get("title") or "").split()) for element in tree.iter()]
        words.append(" ".join("".join(tree.itertext()).split()))
        assert any(plain in shown for shown in words), f"{name}: {text!r}"
        for element in tree.iter():
            assert set(element.attrib) <= {"title", "href", "id", "markdown"}, f"{name}: {text!r}"


@pytest.mark.parametrize("text", TRICKS)
def test_markup_in_text_stays_text(text):
    assert_inert(text)


@settings(deadline=None)
@given(
    st.lists(st.sampled_from([*TRICKS, " ", "a", "1", "\n", "-", ".", "é", "\u00a0"]), max_size=5).map(
        "".join
    )
)
def test_markup_put_together_stays_text(text):
    assert_inert(text)


@settings(deadline=None)
@given(st.text(max_size=40))
def test_any_text_stays_text(text):
    assert_inert(text)


@settings(deadline=None)
@given(st.text(max_size=40))
def test_escaped_text_reads_as_the_text_on_one_line(text):
    assert html.unescape(escape_text(text)) == clean(text).strip()
    assert not any(unicodedata.category(char) in ("Cc", "Cs", "Co", "Cn") for char in clean(text))


def test_usual_text_stays_readable_in_the_source():
    assert escape_text("hook-up, 12.5 V at 20 °C, Müller") == "hook-up, 12.5 V at 20 °C, Müller"


@settings(deadline=None)
@given(st.text(max_size=40))
def test_a_title_is_text_in_html(text):
    tree = html5lib.parseFragment(f"<p>{escape_title(text)}</p>", namespaceHTMLElements=False)
    assert tags(tree) == ["p"]
    assert "".join(tree.itertext()) == clean(text).strip()


def test_a_template_escapes_all_but_trusted_values():
    env = environment()
    template = env.from_string("{{ plain }} {{ trusted }} {{ 'a' ~ plain }} {{ plain | capital }}")
    shown = template.render(plain="<b>", trusted=Markup("<i>"))
    assert shown == "&#60;b&#62; <i> a&#60;b&#62; &#60;b&#62;"


def test_a_macro_gives_markup_and_escapes_its_arguments():
    shown = (
        environment().from_string("{{ answer('<b>', joined('<i>', trusted)) }}").render(trusted=Markup("<u>"))
    )
    assert "&#60;b&#62;" in shown
    assert "&#60;i&#62;<u>" in shown
    assert '<p class="answer">' in shown


def test_a_missing_value_is_an_error_and_no_empty_word():
    with pytest.raises(jinja2.UndefinedError):
        environment().from_string("{{ nothing }}").render()


def test_no_filter_of_the_template_language_lets_markup_through():
    assert not {"safe", "e", "escape", "tojson", "join", "replace", "format"} & set(environment().filters)


def test_a_figure_keeps_its_no_break_space():
    assert clean(quantity(7.5, "A")) == "7.5\u00a0A"


def test_a_message_never_reads_van_text_as_a_pattern():
    assert say("fuse.short_on", position=1, board="{0.__class__}") == "fuse 1 of the {0.__class__}"
