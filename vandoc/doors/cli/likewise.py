"""A new van file like an existing one: its wiring and equipment, without what happened to the one van."""

import os
import re
from pathlib import Path
from typing import Any

OF_ONE_VAN = ("commissioning", "services", "reviewed", "installation", "mains")
OF_ONE_PIECE = ("installed", "replace_by", "serial", "batch", "picture")


def text_like(file: Path, new: Path, name: str | None, published: str | None) -> str:
    """Return the text of a van file like another one; its comments and layout stay.

    Records, reviews, dates, serial numbers, pictures and revisions are left out, since they are of the one
    van.

    Parameters
    ----------
    file, new : Path
        The existing van file, and where the text will be.
    name : str or None
        None keeps the name.
    published : str or None
        Address of its manual; None leaves it out.

    Raises
    ------
    VandocError
        If the file cannot be used.
    """
    from vandoc.reading import editing
    from vandoc.reading.loader import load

    draft = editing.read(file)

    def change(tree: Any) -> None:
        van = tree["van"]
        for key in ("built", "published", "archived"):
            van.pop(key, None)
        van["revision"] = "1"
        if name is not None:
            van["name"] = editing.as_text(name)
        if published is not None:
            van["published"] = published
        for key in OF_ONE_VAN:
            tree.pop(key, None)
        for section in ("places", "equipment", "loads"):
            for item in (tree.get(section) or {}).values():
                for key in OF_ONE_PIECE:
                    item.pop(key, None)

    def move(tree: Any) -> None:
        for section in ("equipment", "loads"):
            for item in (tree.get(section) or {}).values():
                _move_part(item, draft.path.parent, new.parent)

    bare = editing.changed(draft, change)
    load(file, text=bare.text)
    text = editing.changed(bare, move).text
    return re.sub(r"(?m)^(# yaml-language-server: \$schema=)\S+$", r"\1van.schema.json", text)


def _move_part(item: Any, old: Path, new: Path) -> None:
    """Name a part sheet that lies beside the old file by its path from the new one."""
    part = item.get("part")
    if isinstance(part, str) and (old / part).is_file():
        item["part"] = Path(os.path.relpath(old / part, new)).as_posix()
