"""The manual kept on the phone: read without a network after one visit, and replaced after a regenerate."""

import json
import shutil
import threading
from collections.abc import Iterator
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest

from tests.conftest import ROOT
from vandoc.manual.no_signal.offline import kept, worker
from vandoc.publish import publish


class Quiet(SimpleHTTPRequestHandler):
    def log_message(self, *_args: Any) -> None:
        pass


class Host:
    """A static host on this machine that serves one folder under a path of its own."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        handler = partial(Quiet, directory=str(folder))
        self.server = ThreadingHTTPServer(("127.0.0.1", 0), handler)
        threading.Thread(target=self.server.serve_forever, daemon=True).start()
        self.address = f"http://127.0.0.1:{self.server.server_port}"

    def stop(self) -> None:
        self.server.shutdown()
        self.server.server_close()


@pytest.fixture
def host(manuals: Path, tmp_path: Path) -> Iterator[Host]:
    shutil.copytree(manuals / "wren", tmp_path / "v" / "wren")
    host = Host(tmp_path)
    yield host
    host.stop()


@pytest.fixture
def visitor(browser: Any) -> Iterator[Any]:
    context = browser.new_context(viewport={"width": 360, "height": 640}, has_touch=True)
    page = context.new_page()
    page.set_default_timeout(20_000)
    yield page
    context.close()


def visit(page: Any, address: str) -> None:
    """Open a page and wait until the manual says that it is kept."""
    page.goto(address)
    page.locator(".saved .kept").wait_for(state="visible", timeout=60_000)


# The script, without a browser


def test_the_script_changes_with_any_file_and_with_nothing_else():
    files = {"card.html": b"a", "index.html": b"b", "fuse/x.html": b"c"}
    same = worker(dict(reversed(files.items())))
    assert worker(files) == same
    assert worker(files | {"index.html": b"B"}) != same
    assert worker(files | {"new.html": b""}) != same


def test_what_helps_in_the_dark_is_fetched_first():
    order = kept(["electrician/index.html", "fuse/1.html", "sw.js", "card.html", "battery.html", "safe.html"])
    assert order == ["card.html", "safe.html", "fuse/1.html", "battery.html", "electrician/index.html"]


@pytest.mark.parametrize("van", ["curlew", "heron", "wren"])
def test_the_built_script_names_every_page_and_no_missing_file(manuals, van):
    site = manuals / van
    text = (site / "sw.js").read_text("utf-8")
    listed = {path for path, _mark in json.loads(text.split("const FILES = ")[1].split(";\n")[0])}
    assert all((site / path).is_file() for path in listed)
    assert {page.relative_to(site).as_posix() for page in site.rglob("*.html")} <= listed


def test_the_manifest_leads_to_the_card(manuals):
    manifest = json.loads((manuals / "wren/manual.webmanifest").read_text("utf-8"))
    assert (manuals / "wren" / manifest["start_url"]).is_file()
    assert all((manuals / "wren" / icon["src"]).is_file() for icon in manifest["icons"])
    assert "Wren" in manifest["name"]


# In a browser


def test_every_page_reads_without_a_network_after_one_visit_of_the_card(host, visitor):
    visit(visitor, f"{host.address}/v/wren/card.html")
    assert "2 September 2025" in visitor.locator(".saved .kept").inner_text()
    host.stop()
    visitor.context.set_offline(True)
    pages = sorted((host.folder / "v/wren").rglob("*.html"))
    for page in pages:
        answer = visitor.goto(f"{host.address}/{page.relative_to(host.folder).as_posix()}")
        assert answer.ok, page
        assert visitor.locator("h1").count() == 1
    visitor.goto(f"{host.address}/v/wren/")
    assert visitor.title()
    # A page's own style and letters come from the phone too.
    assert visitor.evaluate("document.fonts.ready.then(() => document.fonts.check('16px Hyperlegible'))")


def test_the_four_questions_are_two_taps_away_without_a_network(host, visitor):
    visit(visitor, f"{host.address}/v/wren/card.html")
    visitor.context.set_offline(True)
    visitor.reload()
    visitor.get_by_role("link", name="something has stopped").tap()
    row = visitor.locator("#stopped .choices a", has_text="Water pump")
    assert "Fuse 1" in row.inner_text()
    row.tap()
    visitor.wait_for_url("**/fuse/board.1.html")
    assert "1" in visitor.locator(".answer strong").first.inner_text()


def test_a_new_version_takes_the_place_of_the_old_one(host, visitor, tmp_path):
    address = f"{host.address}/v/wren/card.html"
    visit(visitor, address)
    shutil.copytree(ROOT / "sites", tmp_path / "work")
    van_file = tmp_path / "work/wren/van.yml"
    text = van_file.read_text("utf-8").replace("name: Wren", "name: Wren after service")
    van_file.write_text(text, "utf-8")
    shutil.rmtree(host.folder / "v/wren")
    publish(van_file, host.folder / "v")
    asked: list[str] = []
    visitor.context.on("request", lambda request: asked.append(request.url))
    visitor.reload()
    visitor.locator(".saved .newer").wait_for(state="visible", timeout=60_000)
    # What has not changed, such as the letters, is not fetched again.
    assert not [url for url in asked if url.endswith(".woff2")]
    visitor.locator(".saved button").tap()
    visitor.get_by_text("Wren after service").first.wait_for()
    assert visitor.evaluate("caches.keys().then(keys => keys.length)") == 1
    visitor.context.set_offline(True)
    visitor.reload()
    assert "Wren after service" in visitor.content()


def test_a_fetch_that_was_cut_off_goes_on_at_the_next_visit(host, visitor):
    missing = host.folder / "v/wren/winter.html"
    kept_aside = missing.rename(host.folder / "winter.html")
    visitor.goto(f"{host.address}/v/wren/card.html")
    visitor.wait_for_timeout(3000)
    assert not visitor.locator(".saved .kept").is_visible()
    kept_aside.rename(missing)
    visit(visitor, f"{host.address}/v/wren/index.html")


def test_two_manuals_on_one_host_keep_out_of_each_others_way(host, visitor):
    shutil.copytree(host.folder / "v/wren", host.folder / "v/other")
    visit(visitor, f"{host.address}/v/wren/card.html")
    visit(visitor, f"{host.address}/v/other/card.html")
    assert visitor.evaluate("caches.keys().then(keys => keys.length)") == 2


def test_from_a_folder_nothing_is_said_and_nothing_breaks(manuals, phone):
    for page in ("card.html", "index.html", "fuse/board.1.html"):
        phone.goto((manuals / "wren" / page).as_uri())
        assert not phone.locator(".saved").is_visible()
