"""From format 1, which a file did not state, to format 2, which it does; nothing else differs."""

from vandoc.reading.yamltree import Node


def van(tree: Node) -> Node:
    """Return a van file of format 1 in format 2."""
    return tree


def sheet(tree: Node) -> Node:
    """Return a part sheet of format 1 in format 2."""
    return tree


def workshop(tree: Node) -> Node:
    """Return a workshop file of format 1 in format 2."""
    return tree
