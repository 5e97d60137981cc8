"""Self-contained pages: style and scripts are embedded, and no other script may run."""

import re
from base64 import b64encode
from collections.abc import Sequence
from functools import cache
from hashlib import sha256

from vandoc.ground.speech import language
from vandoc.pages.manual.text import HERE, Markup, environment

UNUSED_SECTIONS = ("/* Contents", "/* Search", "/* Forms")


def single_page(template: str, scripts: Sequence[str], **view: object) -> str:
    """Return a self-contained page.

    Parameters
    ----------
    template : str
        Under `templates/no_signal/`, without `.html.j2`.
    scripts : sequence of str
        Scripts of the theme, without ``.js``.
    **view
        Data for the template.
    """
    script = Markup("\n".join((HERE / f"theme/assets/{name}.js").read_text("utf-8") for name in scripts))
    page = environment().get_template(f"no_signal/{template}.html.j2")
    made = page.render(
        view, style=_style(), script=script, policy=_policy(script, _style()), language=language()
    )
    return made.lstrip() + "\n"


def _policy(script: str, style: str) -> Markup:
    """Return the Content-Security-Policy (W3C CSP Level 3) that permits embedded code by its hash."""
    allowed = {
        "default-src": "'none'",
        "script-src": _hashed(script),
        "style-src": _hashed(style),
        "img-src": "data:",
        "manifest-src": "'self'",
        "worker-src": "'self'",
        "base-uri": "'none'",
        "form-action": "'none'",
    }
    return Markup("; ".join(f"{what} {source}" for what, source in allowed.items()))


def _hashed(text: str) -> str:
    return f"'sha256-{b64encode(sha256(text.encode()).digest()).decode()}'"


@cache
def _style() -> Markup:
    """The style sheet of the manual without fonts, which are separate files, and that of the card.

    Each section of the style sheet begins with a comment at the start of a line.
    """
    style = (HERE / "theme/assets/vandoc.css").read_text("utf-8")
    style = re.sub(r"@font-face\s*\{.*?\}\s*", "", style, flags=re.DOTALL)
    parts = re.split(r"^(?=/\* )", style, flags=re.MULTILINE)
    style = "".join(part for part in parts if not part.startswith(UNUSED_SECTIONS))
    return Markup(style + (HERE / "templates/card.css").read_text("utf-8"))
