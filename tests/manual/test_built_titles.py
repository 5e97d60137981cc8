"""Titles in the built pages: where MkDocs puts them into HTML as they are."""

from pathlib import Path

import html5lib
import pytest
import yaml

from tests.vans.small import worded
from vandoc.doors.publish import publish

NAME = '<script>alert(1)</script> & "x" | *y*'


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("hostile")
    van_file = worded(folder)
    data = yaml.safe_load(van_file.read_text("utf-8"))
    data["van"]["name"] = NAME
    data["workshop"]["name"] = NAME
    for number, thing in enumerate((*data["equipment"].values(), *data["loads"].values())):
        thing["name"] = f"{NAME} {number}" if number else NAME
    for number, place in enumerate(data["places"].values()):
        place["label"] = f"{NAME} {number}" if number else NAME
    van_file.write_text(yaml.safe_dump(data, allow_unicode=True), "utf-8")
    return publish(van_file, folder / "out")


def test_no_built_page_runs_a_name(site):
    pages = sorted(site.rglob("*.html"))
    assert len(pages) > 40
    for path in pages:
        if path.name == "404.html":
            continue
        text = path.read_text("utf-8")
        assert "<script>alert" not in text, path
        for element in html5lib.parse(text, namespaceHTMLElements=False).iter():
            assert not any(str(name).lower().startswith("on") for name in element.attrib), path


def test_a_name_is_read_as_it_was_written(site):
    tree = html5lib.parse((site / "index.html").read_text("utf-8"), namespaceHTMLElements=False)
    assert "".join(next(tree.iter("title")).itertext()) == NAME
    header = next(element for element in tree.iter("a") if element.get("class") == "van")
    assert "".join(header.itertext()) == NAME
