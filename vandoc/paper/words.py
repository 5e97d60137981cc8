"""Messages and templates of the printed files."""

from functools import cache
from importlib.resources import files
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from vandoc.ground.messages import Messages
from vandoc.ground.speech import language

HERE = Path(str(files("vandoc.paper")))
say = Messages("vandoc.paper", "paper").say


@cache
def environment() -> Environment:
    """Return the template environment, which escapes every value for HTML."""
    env = Environment(
        loader=FileSystemLoader([HERE / "templates"]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )
    env.globals |= {"say": say, "language": language}
    return env
