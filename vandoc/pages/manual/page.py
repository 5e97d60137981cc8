"""One page: a template, its data, and links relative to its position in the manual."""

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import partial
from posixpath import dirname, relpath

from vandoc.ground.messages import LANGUAGE, Messages
from vandoc.pages.manual.text import Markup, environment, escape_text, escape_title, macro, say, trust

CAUTIONS = Messages("vandoc.pages.manual", "cautions")


@dataclass(frozen=True)
class Page:
    """A page of the manual.

    Attributes
    ----------
    path : str
        Path of its Markdown file.
    template : str
        Under `templates/`, without `.md.j2`.
    title : str
        As in the contents; plain text.
    view : mapping of str to object
        Data for the template.
    searched : bool
        Whether it is included in the search of the manual.
    listed : bool
        Whether the contents of the pages beside it list it; if not, the first page of its section does.
    scripts : tuple of str
        Theme scripts that enhance it, without ``.js``; the page is complete without them.
    """

    path: str
    template: str
    title: str
    view: Mapping[str, object] = field(default_factory=dict)
    searched: bool = True
    listed: bool = True
    scripts: tuple[str, ...] = ()


def render(page: Page, **shared: object) -> str:
    """Return the page as Markdown with front matter; `shared` is passed to every template."""
    notes: dict[str, int] = {}

    def note(source: str) -> Markup:
        return Markup(f"[^{notes.setdefault(source, len(notes) + 1)}]")

    body = (
        environment()
        .get_template(f"{page.template}.md.j2")
        .render(
            page.view,
            **shared,
            title=page.title,
            href=partial(address, page=page.path),
            link=partial(_link, page=page.path),
            note=note,
            caution=caution,
        )
    )
    head = f"---\ntitle: {json.dumps(escape_title(page.title), ensure_ascii=False)}\n"
    if not page.searched:
        head += "search: {exclude: true}\n"
    if not page.listed:
        head += f"listed: {json.dumps(page.listed)}\n"
    if page.scripts:
        head += f"scripts: {json.dumps(page.scripts)}\n"
    foot = "".join(f"\n[^{number}]: {escape_text(source)}\n" for source, number in notes.items())
    return f"{head}---\n\n{body.strip()}\n{foot}"


def built(target: str) -> str:
    """Return the address of the built page of a Markdown file."""
    path, mark, anchor = target.partition("#")
    return f"{path.removesuffix('.md')}.html{mark}{anchor}" if path.endswith(".md") else target


def address(target: str, page: str) -> str:
    """Return the address of a file of the built manual relative to a page, with its anchor if any."""
    path, mark, anchor = target.partition("#")
    near = relpath(path, dirname(page) or ".") if path else ""
    return built(f"{near}{mark}{anchor}")


def _link(text: object, target: str, page: str) -> Markup:
    return Markup(f"[{trust(text)}]({address(target, page)})")


def caution(name: str) -> Markup:
    """Return the panel of a caution of `cautions.yml`; one that the language lacks is marked as English."""
    entry, signal = CAUTIONS[name], CAUTIONS[f"{name}.signal"]
    own = CAUTIONS.translated(name)
    return macro("signal")(
        signal,
        entry["hazard"],
        entry["consequence"],
        entry["avoid"],
        say(f"signal_word.{signal}") if own else signal,
        "" if own else LANGUAGE,
    )
