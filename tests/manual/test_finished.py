"""Generated pages become HTML exactly as plain Python-Markdown makes them, only faster."""

import markdown
import pytest
from hypothesis import given
from hypothesis import strategies as some

from tests.vans.small import worded
from vandoc.doors.build import read, write_manual
from vandoc.pages.manual.finished import addresses, finished
from vandoc.pages.manual.settings import markdown_extensions


def plain(body: str) -> tuple[str, list]:
    """As MkDocs would convert it: a new converter for each page."""
    found = markdown_extensions()
    converter = markdown.Markdown(extensions=list(found), extension_configs=found)
    return converter.convert(body), converter.toc_tokens


def test_every_page_is_what_markdown_alone_makes_of_it(tmp_path):
    pages = write_manual(read(worded(tmp_path))).files
    bodies = [str(text).split("---\n", 2)[2] for path, text in pages.items() if path.endswith(".md")]
    assert len(bodies) > 50
    for body in bodies:
        made = finished(body)
        assert (made.html, made.contents) == plain(body)


PIECES = [
    "# Title",
    "Some *text* with a [link](safe.html#x).",
    "- one\n- two",
    "| a | b |\n|---|---|\n| 1 | <b>2</b> |",
    '<div id="x">\n<p>*kept*</p>\n\n<div>inner &amp; &#60;</div>\n</div>',
    "<figure><svg><text>a < b</text></svg></figure>",
    '<details markdown="1">\n<summary>s</summary>\n\n*made*\n\n<div>x</div>\n</details>',
    "<p>one</p>\n<p>two</p>",
    "<span>*inline*</span>",
    "<hr>",
    '<table class="t">\n<tr><td>1</td></tr>\n</table>   ',
    "    <div>code</div>",
    "A note[^1].\n\n[^1]: <div>its text</div>",
    "<!-- said aside -->",
    "<section>a</section> and more",
    "<pre>\n\n&lt;div>\n\n</pre>",
]


BETWEEN = ["\n\n", "\n\n", "\n", "\n  \n\n"]


def test_nothing_is_put_aside_after_a_block_that_is_never_closed():
    body = "\n\n".join(("<p>kept</p>", "<div>never closed", *PIECES, "</div>"))
    assert (finished(body).html, finished(body).contents) == plain(body)


@given(some.lists(some.tuples(some.sampled_from(PIECES), some.sampled_from(BETWEEN)), max_size=7))
def test_any_lines_of_markdown_and_well_formed_html_are_read_the_same(pieces):
    body = "".join(piece + between for piece, between in pieces)
    made = finished(body)
    assert (made.html, made.contents) == plain(body)


@pytest.mark.parametrize(
    ("html", "anchors", "targets"),
    [
        ('<p id="a"><a class="x" href="b.html#c">such as id="no" here</a></p>', {"a"}, {"b.html#c"}),
        ('<img\nsrc="p/1.png" alt="src=&#34;no&#34;"><use href="#one"/>', set(), {"p/1.png", "#one"}),
        ('<a data-href="no" href="a&amp;b&#46;html">', set(), {"a&b.html"}),
    ],
)
def test_anchors_and_targets_are_found_in_any_html(html, anchors, targets):
    assert addresses(html) == (anchors, targets)
