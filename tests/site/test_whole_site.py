"""The built manuals as a whole: nothing asked of another host, no broken link, the same bytes each time."""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path
from urllib.parse import unquote, urlsplit

import html5lib
import pytest

from tests.conftest import DEMO_VANS, ROOT

VANS = [path.parent.name for path in DEMO_VANS]
LOADS = {"src", "srcset", "poster", "data", "action", "formaction", "background", "ping"}


def pages(folder: Path) -> list[Path]:
    return sorted(folder.rglob("*.html"))


def tree_of(page: Path):  # type: ignore[no-untyped-def]
    return html5lib.parse(page.read_text("utf-8"), namespaceHTMLElements=False)


def test_there_are_three_vans():
    assert VANS == ["curlew", "heron", "wren"]


@pytest.mark.parametrize("van", VANS)
def test_nothing_is_asked_of_another_host(manuals, van):
    for page in pages(manuals / van):
        for element in tree_of(page).iter():
            for name, value in element.attrib.items():
                loads = name in LOADS or (element.tag == "link" and name == "href")
                assert not (loads and re.match(r"\s*(https?:)?//", value)), f"{page}: {element.tag} {value}"
    for sheet in (manuals / van).rglob("*.css"):
        text = sheet.read_text("utf-8")
        assert not re.search(r"(url\(\s*['\"]?|@import\s+['\"]?)(https?:)?//", text), sheet
    scripts = [path for path in (manuals / van).rglob("*.js") if path.name != "search_index.js"]
    for script in scripts:
        assert not re.search(r"https?://(?!www\.w3\.org/)", script.read_text("utf-8")), script


@pytest.mark.parametrize("van", VANS)
def test_no_link_leads_nowhere(manuals, van):
    root = manuals / van
    anchors = {page: {e.get("id") for e in tree_of(page).iter() if e.get("id")} for page in pages(root)}
    count = 0
    for page in pages(root):
        for element in tree_of(page).iter():
            for name in ("href", "src", "{http://www.w3.org/1999/xlink}href"):
                value = element.get(name)
                if value is None or urlsplit(value).scheme in ("http", "https", "tel", "mailto", "data"):
                    continue
                parts = urlsplit(value)
                assert not parts.path.startswith("/"), f"{page.name}: {value} does not work from a disk"
                target = (page.parent / unquote(parts.path)).resolve() if parts.path else page
                assert target.is_file(), f"{page.relative_to(root)}: {value} leads nowhere"
                if parts.fragment and target in anchors:
                    assert unquote(parts.fragment) in anchors[target], f"{page.relative_to(root)}: {value}"
                count += 1
    assert count > 100


@pytest.mark.parametrize("van", VANS)
def test_every_page_asks_not_to_be_indexed_and_names_the_van(manuals, van):
    for page in pages(manuals / van):
        tree = tree_of(page)
        metas = {meta.get("name"): meta.get("content") for meta in tree.iter("meta")}
        assert metas.get("robots") == "noindex", page
        assert van in "".join(next(tree.iter("title")).itertext()).lower(), page


def test_two_builds_are_the_same_in_another_place_zone_and_language(tmp_path):
    outputs = []
    for name, zone, language in (("a", "UTC", "C.UTF-8"), ("b/deep er", "Pacific/Chatham", "C")):
        work = tmp_path / name
        shutil.copytree(ROOT / "sites", work / "sites")
        command = [sys.executable, "-m", "vandoc", "build", "sites/wren/van.yml", "--out", "out"]
        environment = {**os.environ, "TZ": zone, "LC_ALL": language, "PYTHONHASHSEED": str(len(name))}
        subprocess.run(command, cwd=work, env=environment, check=True, timeout=120)
        site = work / "out/wren"
        outputs.append({p.relative_to(site): p.read_bytes() for p in sorted(site.rglob("*")) if p.is_file()})
    assert outputs[0].keys() == outputs[1].keys()
    different = [str(path) for path in outputs[0] if outputs[0][path] != outputs[1][path]]
    assert different == []
