"""The prose of a Jinja template: what it says itself, with ``X`` for what is filled in."""

from collections.abc import Iterator

from jinja2 import Environment, nodes

from tests.words.sentences import VALUE
from vandoc.pages.manual.text import catalogue

APART = {
    "step",
    "choice",
    "facts",
    "signal",
    "doors",
    "quiet_link",
    "answer",
    "figure",
    "call",
    "chips",
    "photo",
}
SILENT = {"href", "caution", "note", "say", "address", "revision_note", "copy_note", "saved_line", "up"}
TARGETS = {"link": 1, "link_to": 0, "choice": 0, "quiet_link": 0, "call": 1}
"""Which argument of a macro is an address."""


def prose(source: str) -> list[str]:
    """The texts of a template: the longest that its body can say, then each alternative."""
    tree = Environment(autoescape=False).parse(source)
    found: list[str] = []
    found.insert(0, _flow(tree.body, found))
    return [text for text in found if text.strip()]


def _flow(body: list[nodes.Node], more: list[str]) -> str:
    return "".join(_said(node, more) for node in body)


def _said(node: nodes.Node, more: list[str]) -> str:
    match node:
        case nodes.Output():
            return "".join(_phrase(part, more) for part in node.nodes)
        case nodes.If():
            for branch in (*node.elif_, *([node.else_] if node.else_ else [])):
                more.append(_flow(branch.body if isinstance(branch, nodes.If) else branch, more))
            return _flow(node.body, more)
        case nodes.For():
            if node.else_:
                more.append(_flow(node.else_, more))
            return _flow(node.body, more)
        case nodes.Macro() | nodes.CallBlock() | nodes.FilterBlock() | nodes.Block():
            more.append(_flow(node.body, more))
        case nodes.Assign() if isinstance(node.node, nodes.Const | nodes.CondExpr | nodes.Call):
            more.append(_phrase(node.node, more))
    return ""


def _phrase(node: nodes.Expr, more: list[str]) -> str:
    match node:
        case nodes.TemplateData():
            return node.data
        case nodes.Const(value=str(value)):
            return value
        case nodes.Call(node=nodes.Name(name="joined")):
            return "".join(_phrase(part, more) for part in node.args)
        case nodes.Call(node=nodes.Name(name=name)):
            if name in SILENT:
                return VALUE if name == "say" else ""
            said = [_phrase(part, more) for i, part in enumerate(node.args) if i != TARGETS.get(name)]
            said += [_phrase(part.value, more) for part in node.kwargs]
            if name in APART:
                return "\n\n".join(("", *said, ""))
            return " ".join(said) if name in TARGETS else VALUE
        case nodes.Filter():
            return _phrase(node.node, more) if node.node else VALUE
        case nodes.CondExpr():
            both = [_phrase(part, more) for part in (node.expr1, node.expr2) if part]
            both.sort(key=len)
            more.extend(both[:-1])
            return both[-1]
        case nodes.Concat():
            return "".join(_phrase(part, more) for part in node.nodes)
        case nodes.Add():
            return _phrase(node.left, more) + _phrase(node.right, more)
        case nodes.List() | nodes.Tuple():
            return "\n\n".join(_phrase(part, more) for part in node.items)
        case _:
            return VALUE


def constants(source: str, name: str) -> Iterator[list[str | None]]:
    """The arguments of each call of a macro; None for one that is filled in."""
    for call in Environment(autoescape=False).parse(source).find_all(nodes.Call):
        if isinstance(call.node, nodes.Name) and call.node.name == name:
            yield [_wording(part) for part in call.args]


def _wording(node: nodes.Expr) -> str | None:
    match node:
        case nodes.Const(value=str(value)):
            return value
        case nodes.Call(node=nodes.Name(name="say"), args=[nodes.Const(value=str(key))]):
            messages, rest = catalogue(key)
            return str(messages[rest])
    return None
