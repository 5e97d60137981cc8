"""The manual as a whole: every link leads somewhere, every page is in the contents, nothing varies."""

import gzip
from posixpath import dirname, join, normpath

import pytest

from tests.manual.manuals import VANS, judged, manual, markdown_paths, page, pages_of


def targets(van, path):
    for element in page(van, path).iter():
        for name in ("href", "src"):
            value = element.get(name)
            if value is not None and not value.startswith(("tel:", "https:", "#fn")):
                yield value


@pytest.mark.parametrize("van", VANS)
def test_every_link_leads_to_a_page_and_an_anchor_of_the_manual(van):
    found = manual(van)
    anchors = {
        path: {element.get("id") for element in page(van, path).iter() if element.get("id")}
        for path in markdown_paths(found)
    }
    count = 0
    for path in markdown_paths(found):
        for value in targets(van, path):
            address, _, anchor = value.partition("#")
            target = normpath(join(dirname(path), address)) if address else path
            if target.endswith(".html") and target not in found.files:
                target = target.removesuffix(".html") + ".md"
            assert target in found.files, f"{path}: {value}"
            assert not anchor or anchor in anchors.get(target, {anchor}), f"{path}: {value}"
            count += 1
    assert count > 200


def flat(items):
    for item in items:
        if isinstance(item, str):
            yield item
        else:
            for members in item.values():
                yield from flat(members)


@pytest.mark.parametrize("van", VANS)
def test_every_page_is_once_in_the_contents(van):
    assert sorted(flat(manual(van).navigation)) == sorted(markdown_paths(manual(van)))


@pytest.mark.parametrize("van", VANS)
def test_ids_are_unique_on_each_page(van):
    for path in markdown_paths(manual(van)):
        ids = [element.get("id") for element in page(van, path).iter() if element.get("id")]
        assert len(ids) == len(set(ids)), path


@pytest.mark.parametrize("van", VANS)
def test_each_page_begins_with_one_heading(van):
    for path in markdown_paths(manual(van)):
        headings = [e for e in page(van, path).iter() if e.tag in ("h1", "h2", "h3", "h4")]
        assert [e.tag for e in headings].count("h1") == 1, path
        assert headings[0].tag == "h1", path


def test_the_number_and_weight_of_pages_stay_sensible():
    found = manual("curlew")
    # Each symptom adds two pages, the owner's and the electrician's tree.
    assert len([path for path in markdown_paths(found) if "fault/" not in path]) < 100
    assert len(markdown_paths(found)) < 200
    texts = {path: str(found.files[path]) for path in markdown_paths(found)}
    trees = {path for path in texts if path.startswith("electrician/fault/")}
    assert max(len(text) for path, text in texts.items() if path not in trees) < 150_000
    # A tree says the same few things of many parts, so that little of it goes over the line.
    assert max(len(gzip.compress(texts[path].encode(), mtime=0)) for path in trees) < 30_000


def test_two_manuals_of_one_van_are_the_same():
    first, second = pages_of(judged("wren")), pages_of(judged("wren"))
    assert first == second
    assert list(first.files) == sorted(first.files)


@pytest.mark.parametrize("van", VANS)
def test_no_page_names_a_path_of_the_machine(van):
    for path in markdown_paths(manual(van)):
        text = manual(van).files[path]
        assert str(judged(van).van_file.path.parent) not in text


def test_the_page_frame_gets_the_workshop_and_the_date_of_the_last_entry():
    shown = manual("curlew").extra
    wanted = {
        "name": "Curlew",
        "workshop": "Saltmarsh Van Electrics",
        "phone": "+44 1632 960 123",
        "phone_href": "tel:+441632960123",
        "revision": judged("curlew").revisions[-1].mark,
        "date": "11 April 2025",
    }
    assert wanted.items() <= shown.items()
