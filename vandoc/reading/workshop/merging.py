"""A van file's tree with what its workshop file states for all vans."""

from vandoc.model.workshop import CONTACT, HOUSE, TEXTS
from vandoc.reading.yamltree import Node


def merged(van: Node, workshop: Node) -> Node:
    """Return a van file's tree with the entries of a workshop file, each at its own place.

    Contact details and texts are those of the van file where it states them. What only a workshop file may
    state is below `house`.
    """
    sections, keys = dict(van.value), dict(van.keys)
    for section, given in (
        ("workshop", _only(workshop, CONTACT)),
        (TEXTS, workshop.value.get(TEXTS)),
        ("house", _only(workshop, HOUSE)),
    ):
        if given is None:
            continue
        own = sections.get(section)
        if own is None:
            sections[section], keys[section] = given, given.location
        elif isinstance(own.value, dict):
            sections[section] = Node(own.location, {**given.value, **own.value}, {**given.keys, **own.keys})
    return Node(van.location, sections, keys)


def _only(tree: Node, wanted: tuple[str, ...]) -> Node | None:
    """Return the entries of some keys, or None if there is none."""
    value = {key: tree.value[key] for key in wanted if key in tree.value}
    keys = {key: tree.keys[key] for key in value}
    return Node(tree.location, value, keys) if value else None
