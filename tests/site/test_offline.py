"""The manual kept on the phone: read without a network after one visit, on a bad line, replaced whole."""

import gzip
import html
import json
import re
import shutil
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import suppress
from functools import cache, partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Error as PlaywrightError

from tests.conftest import ROOT
from tests.site.axe import addresses
from vandoc.doors.publish import publish
from vandoc.pages.manual.no_signal.offline import OWNER_BYTES, parts, worker

COMPRESSED = (".html", ".js", ".css", ".svg", ".csv", ".ics", ".webmanifest")


@cache
def compressed(content: bytes) -> bytes:
    """What a host sends of a file: packed once for all visits."""
    return gzip.compress(content, 6)


class Handler(SimpleHTTPRequestHandler):
    """Sends compressed what a host compresses; slowly, and no more than the host's line has left."""

    server: "Server"

    def log_message(self, *_args: Any) -> None:
        pass

    def do_GET(self) -> None:
        path = Path(self.translate_path(self.path.partition("?")[0]))
        path = path / "index.html" if path.is_dir() else path
        if not path.is_file():
            self.send_error(404)
            return
        self.server.asked.append(path.relative_to(self.directory).as_posix())
        content = path.read_bytes()
        self.send_response(200)
        self.send_header("Content-Type", self.guess_type(str(path)))
        if path.suffix in COMPRESSED:
            content = compressed(content)
            self.send_header("Content-Encoding", "gzip")
        self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        for start in range(0, len(content), 4096):
            if not self.server.may_send(piece := content[start : start + 4096]):
                self.close_connection = True
                self.connection.close()
                return
            self.wfile.write(piece)


class Server(ThreadingHTTPServer):
    """A line with a speed, which may break after so many bytes."""

    def __init__(self, folder: Path) -> None:
        super().__init__(("127.0.0.1", 0), partial(Handler, directory=str(folder)))
        self.asked: list[str] = []
        self.sent, self.limit, self.speed = 0, float("inf"), float("inf")
        self.lock = threading.Lock()

    def may_send(self, piece: bytes) -> bool:
        with self.lock:
            if self.sent + len(piece) > self.limit:
                return False
            self.sent += len(piece)
            time.sleep(len(piece) / self.speed)
            return True

    def handle_error(self, *_args: Any) -> None:
        pass  # a connection that was cut


class Host:
    """A static host on this machine that serves one folder."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.server = Server(folder)
        threading.Thread(target=self.server.serve_forever, daemon=True).start()
        self.address = f"http://127.0.0.1:{self.server.server_port}"

    def stop(self) -> None:
        self.server.shutdown()
        self.server.server_close()

    def weigh(self, paths: list[str]) -> int:
        """How many bytes are sent for files of the manual."""
        contents = ((path, (self.folder / "v/wren" / path).read_bytes()) for path in paths)
        return sum(len(compressed(c) if Path(p).suffix in COMPRESSED else c) for p, c in contents)


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


def listed(site: Path) -> tuple[list[str], list[str]]:
    """What the built script keeps: the owner's part and the rest."""
    text = (site / "sw.js").read_text("utf-8")
    owner, rest = (
        json.loads(text.split(f"const {name} = ")[1].split(";\n")[0]) for name in ("OWNER", "REST")
    )
    return [path for path, _ in owner], [path for path, _ in rest]


def wait_for(page: Any, which: str) -> None:
    page.locator(f".saved .{which}").wait_for(state="visible", timeout=60_000)


def visit(page: Any, address: str) -> None:
    """Open a page and wait until the manual says that the whole of it is kept."""
    page.goto(address)
    wait_for(page, "whole")


# The script, without a browser


def test_the_script_changes_with_any_file_and_with_nothing_else():
    files = {"card.html": b"a", "index.html": b"b", "fuse/x.html": b"c"}
    same = worker(dict(reversed(files.items())))
    assert worker(files) == same
    assert worker(files | {"index.html": b"B"}) != same
    assert worker(files | {"new.html": b""}) != same


def test_pages_for_emergencies_are_fetched_first():
    files = (
        "electrician/index.html",
        "fuse/1.html",
        "sw.js",
        "card.html",
        "battery.html",
        "safe.html",
        "robots.txt",
    )
    owner, rest = parts(dict.fromkeys(files, b"x"))
    assert owner == ["card.html", "safe.html", "fuse/1.html", "battery.html"]
    assert rest == ["electrician/index.html"]


def test_pictures_that_would_delay_the_owners_pages_come_with_the_rest():
    import random

    noise = random.Random(11)
    files = {f"pictures/{n}.jpg": noise.randbytes(400_000) for n in range(6)} | {"index.html": b"x" * 9000}
    owner, rest = parts(files)
    assert owner == ["index.html", "pictures/0.jpg", "pictures/1.jpg", "pictures/2.jpg"]
    assert rest == ["pictures/3.jpg", "pictures/4.jpg", "pictures/5.jpg"]


@pytest.mark.parametrize("van", ["curlew", "heron", "wren"])
def test_the_owners_part_is_small_and_needs_nothing_of_the_rest(manuals, van):
    site = manuals / van
    owner, rest = listed(site)
    assert {page.relative_to(site).as_posix() for page in site.rglob("*.html")} <= {*owner, *rest}
    weight = sum(len(compressed((site / path).read_bytes())) for path in owner)
    print(f"{van}: owner's part {weight} bytes in {len(owner)} files, the rest {len(rest)} files")
    assert weight <= OWNER_BYTES == 1_500_000
    loads = re.compile(r'<(?:script|img|link|source)[^>]*?(?:src|href)="(?!data:)([^"]+)"')
    for page in (path for path in owner if path.endswith(".html")):
        for found in loads.findall((site / page).read_text("utf-8")):
            needed = (
                ((site / page).parent / html.unescape(found)).resolve().relative_to(site.resolve()).as_posix()
            )
            assert needed in owner, f"{page} needs {needed}"
    assert not [path for path in owner if path.startswith("electrician/")]
    assert {"search/search_index.js", "assets/minisearch.js"} <= set(owner)


def test_the_manifest_leads_to_the_card(manuals):
    manifest = json.loads((manuals / "wren/manual.webmanifest").read_text("utf-8"))
    assert (manuals / "wren" / manifest["start_url"]).is_file()
    assert all((manuals / "wren" / icon["src"]).is_file() for icon in manifest["icons"])
    assert "Wren" in manifest["name"]


# In a browser


def test_every_page_reads_without_a_network_after_one_visit_of_the_card(host, visitor):
    visit(visitor, f"{host.address}/v/wren/card.html")
    assert "2 September 2025" in visitor.locator(".saved .whole").inner_text()
    host.stop()
    visitor.context.set_offline(True)
    for page in addresses(host.folder / "v/wren"):  # that all are kept is asked of the script's list
        address = f"{host.address}/{page.relative_to(host.folder).as_posix()}"
        answer = visitor.goto(address, wait_until="domcontentloaded")
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


@pytest.fixture(scope="module")
def serviced(tmp_path_factory) -> Path:
    """The same van under another name, built."""
    work = tmp_path_factory.mktemp("serviced")
    shutil.copytree(ROOT / "sites", work / "sites")
    van_file = work / "sites/wren/van.yml"
    van_file.write_text(
        van_file.read_text("utf-8").replace("name: Wren", "name: Wren after service"), "utf-8"
    )
    return publish(van_file, work / "out")


def replace_by(host: Host, site: Path) -> None:
    shutil.rmtree(host.folder / "v/wren")
    shutil.copytree(site, host.folder / "v/wren")


def test_a_new_version_takes_the_place_of_the_old_one(host, visitor, serviced):
    visit(visitor, f"{host.address}/v/wren/card.html")
    replace_by(host, serviced)
    host.server.asked.clear()
    visitor.reload()
    note = visitor.locator(".copy .newer")
    note.wait_for(state="visible", timeout=60_000)
    box = visitor.locator(".copy").bounding_box()
    assert box["y"] + box["height"] < 200, "the note stands on the first screen"
    # What has not changed, such as the letters, is not fetched again.
    assert not [path for path in host.server.asked if path.endswith(".woff2")]
    # Who goes on reading does so in the old version; the next page that is opened is the new one.
    assert visitor.locator(".masthead .van").inner_text() == "Wren"
    visitor.locator(".copy button").tap()
    visitor.get_by_text("Wren after service").first.wait_for()
    wait_for(visitor, "whole")
    assert visitor.evaluate("caches.keys().then(keys => keys.length)") == 1
    visitor.context.set_offline(True)
    visitor.reload()
    assert "Wren after service" in visitor.content()


def test_a_reader_who_ignores_the_note_gets_the_new_version_with_the_next_page(host, visitor, serviced):
    visit(visitor, f"{host.address}/v/wren/index.html")
    replace_by(host, serviced)
    visitor.reload()
    visitor.locator(".copy .newer").wait_for(state="visible", timeout=60_000)
    visitor.goto(f"{host.address}/v/wren/battery.html")
    visitor.get_by_text("Wren after service").first.wait_for(timeout=60_000)


def test_a_page_that_came_from_the_older_version_is_opened_again_once(host, visitor, serviced):
    """The newer version may take over while a page is on its way: after the page was asked for."""
    visit(visitor, f"{host.address}/v/wren/card.html")
    replace_by(host, serviced)
    visitor.reload()
    visitor.locator(".copy .newer").wait_for(state="visible", timeout=60_000)
    before = time.time()
    visitor.locator(".copy button").tap()
    visitor.get_by_text("Wren after service").first.wait_for()
    wait_for(visitor, "whole")
    kept = "caches.keys().then(async ([key]) => [await caches.open(key), `${key.split(' ')[0]}?since`])"
    since = visitor.evaluate(f"{kept}.then(async ([cache, key]) => (await cache.match(key)).text())")
    assert before <= int(since) / 1000 + 0.01 <= time.time() + 0.01

    later = "new Response(String(Date.now() + 3_600_000))"
    visitor.evaluate(f"{kept}.then(([cache, key]) => cache.put(key, {later}))")
    visitor.evaluate("sessionStorage.clear()")  # as in a tab that was opened later
    opened: list[str] = []
    visitor.on("load", lambda page: opened.append(page.url.rpartition("/")[2]))
    visitor.goto(f"{host.address}/v/wren/battery.html")
    wait_for(visitor, "whole")
    visitor.wait_for_timeout(3000)
    visitor.goto(f"{host.address}/v/wren/safe.html")
    visitor.wait_for_timeout(3000)
    assert opened == ["battery.html", "battery.html", "safe.html"]


@pytest.mark.parametrize("share", [0.1, 0.5, 0.9])
def test_before_the_owners_part_is_there_the_page_says_so_and_goes_on_later(host, visitor, share):
    owner, _ = listed(host.folder / "v/wren")
    host.server.limit = share * host.weigh(owner)
    visitor.goto(f"{host.address}/v/wren/card.html")
    visitor.locator(".copy .cut").wait_for(state="visible", timeout=60_000)
    said = visitor.locator(".copy").inner_text()
    assert said.startswith("Not saved on this phone yet.")
    assert not visitor.locator(".saved").is_visible()
    reached = int(re.search(r"(\d+) %", said)[1])
    kept = visitor.evaluate(
        "caches.keys().then(async ([key]) => (await (await caches.open(key)).keys()).length)"
    )
    assert abs(reached - 100 * kept / len(owner)) < 2
    host.server.limit = float("inf")
    host.server.asked.clear()
    visitor.context.set_offline(True)
    visitor.context.set_offline(False)  # the signal is back
    wait_for(visitor, "whole")
    again = [path for path in host.server.asked if path.removeprefix("v/wren/") in owner]
    assert len(again) <= len(owner) - kept, "what was kept is not fetched again"


@pytest.mark.parametrize(("share", "first"), [(0.1, 0), (0.5, 1), (0.9, 2)])
def test_once_the_owners_part_is_there_every_owners_page_opens(host, visitor, share, first):
    """Each third of the pages at another moment; no page is left out."""
    owner, rest = listed(host.folder / "v/wren")
    # The first page itself, and the script, are sent before.
    host.server.limit = host.weigh([*owner, "card.html", "sw.js"]) + share * host.weigh(rest)
    visitor.goto(f"{host.address}/v/wren/card.html")
    wait_for(visitor, "part")
    visitor.wait_for_function("document.querySelector('.copy .part:not([hidden])')")
    size = visitor.evaluate(
        "caches.keys().then(async ([key]) => (await (await caches.open(key)).keys()).length)"
    )
    while True:  # until the line has given all that it has
        visitor.wait_for_timeout(1500)
        now = visitor.evaluate(
            "caches.keys().then(async ([key]) => (await (await caches.open(key)).keys()).length)"
        )
        if now == size:
            break
        size = now
    assert len(owner) <= size < len(owner) + len(rest)
    visitor.context.set_offline(True)
    for path in [path for path in owner if path.endswith(".html")][first::3]:
        answer = visitor.goto(f"{host.address}/v/wren/{path}", wait_until="commit")
        assert answer.ok
        assert visitor.url.endswith(path)
    missing = 0
    pages = [path for path in rest if path.endswith(".html")]
    for path in [*pages[first::3], pages[-1]]:  # the last one is saved last
        visitor.goto(f"{host.address}/v/wren/{path}", wait_until="commit")
        if visitor.url.endswith("unsaved.html"):
            assert "not on your phone yet" in visitor.locator("h1").inner_text()
            missing += 1
    assert missing > 0
    host.server.limit = float("inf")
    visitor.context.set_offline(False)
    visitor.goto(f"{host.address}/v/wren/card.html")
    wait_for(visitor, "whole")


def test_on_a_slow_line_the_owners_part_is_there_after_no_more_than_its_weight(host, visitor):
    owner, rest = listed(host.folder / "v/wren")
    host.server.speed = 50_000
    visitor.goto(f"{host.address}/v/wren/card.html")
    visitor.locator(".copy .saving").wait_for(state="visible")
    began = time.monotonic()
    wait_for(visitor, "part")
    took, sent = time.monotonic() - began, host.server.sent
    print(f"owner's part at 50 kB/s: {took:.1f} s, {sent} bytes")
    assert sent < OWNER_BYTES
    assert sent < host.weigh(owner) + host.weigh(rest) * 0.5 + 100_000


def test_pages_of_two_versions_are_never_mixed(host, visitor, serviced):
    owner, rest = listed(host.folder / "v/wren")
    host.server.limit = host.weigh([*owner, "card.html", "sw.js"]) + 0.3 * host.weigh(rest)
    visitor.goto(f"{host.address}/v/wren/card.html")
    wait_for(visitor, "part")
    visitor.wait_for_timeout(1500)
    visitor.context.set_offline(True)
    replace_by(host, serviced)
    # Only so much that the new version is not complete yet.
    host.server.sent, host.server.limit = 0, host.weigh(owner) * 0.3
    visitor.context.set_offline(False)
    seen = set()
    for path in (
        "electrician/index.html",
        "index.html",
        "electrician/cables.html",
        *rest[:40:4],
        "battery.html",
    ):
        visitor.goto(f"{host.address}/v/wren/{path}")
        if path.endswith(".html") and not visitor.url.endswith("unsaved.html"):
            seen.add(visitor.locator(".masthead .van").inner_text())
    assert seen == {"Wren"}
    host.server.limit = float("inf")
    deadline = time.monotonic() + 60
    while "after service" not in visitor.locator(".masthead .van").inner_text():
        assert time.monotonic() < deadline
        with suppress(PlaywrightError):  # a page that changes over by itself meanwhile
            visitor.goto(f"{host.address}/v/wren/index.html")
        visitor.wait_for_timeout(1500)
    wait_for(visitor, "whole")
    visitor.context.set_offline(True)
    for path in [path for path in (*owner, *rest) if path.endswith(".html")][::4]:
        assert visitor.goto(f"{host.address}/v/wren/{path}", wait_until="domcontentloaded").ok
        assert visitor.locator(".masthead .van").inner_text() == "Wren after service", path


def test_two_manuals_on_one_host_keep_out_of_each_others_way(host, visitor):
    shutil.copytree(host.folder / "v/wren", host.folder / "v/other")
    visit(visitor, f"{host.address}/v/wren/card.html")
    visit(visitor, f"{host.address}/v/other/card.html")
    assert visitor.evaluate("caches.keys().then(keys => keys.length)") == 2


def test_from_a_folder_nothing_is_said_and_nothing_breaks(manuals, phone):
    for page in ("card.html", "index.html", "fuse/board.1.html"):
        phone.goto((manuals / "wren" / page).as_uri())
        assert not phone.locator(".saved").is_visible()
        assert not phone.locator(".copy").is_visible()


# A manual that is withdrawn


def test_a_withdrawn_manual_is_dropped_by_phones_and_can_be_published_again(host, visitor, tmp_path):
    work = tmp_path / "work"
    shutil.copytree(ROOT / "sites", work / "sites")
    out = host.folder / "v"
    visit(visitor, f"{host.address}/v/wren/fuse/board.1.html")
    command = [
        sys.executable,
        "-m",
        "vandoc",
        "withdraw",
        str(work / "sites/wren/van.yml"),
        "--out",
        str(out),
    ]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    assert Path(done.stdout.strip()) == out / "wren/index.html"
    published = {path.name for path in (out / "wren").iterdir() if not path.name.startswith(".")}
    assert published == {"index.html", "card.html", "404.html", "sw.js", "robots.txt"}
    visitor.goto(f"{host.address}/v/wren/card.html")
    visitor.get_by_role("heading", name="This manual is withdrawn").wait_for()
    assert visitor.evaluate("caches.keys()") == []
    assert visitor.evaluate("navigator.serviceWorker.getRegistrations().then(found => found.length)") == 0
    text = visitor.locator("main").inner_text()
    assert "+44 1632" in text
    assert "Wren" not in visitor.content()
    visitor.context.set_offline(True)
    with pytest.raises(PlaywrightError):
        visitor.goto(f"{host.address}/v/wren/card.html")
    visitor.context.set_offline(False)
    assert publish(work / "sites/wren/van.yml", out) == out / "wren"
    visit(visitor, f"{host.address}/v/wren/card.html")


def test_a_van_that_cannot_be_read_is_not_withdrawn(host, tmp_path):
    before = sorted((host.folder / "v/wren").rglob("*"))
    (tmp_path / "wren").mkdir()
    (tmp_path / "wren/van.yml").write_text("nonsense: 1\n")
    command = [sys.executable, "-m", "vandoc", "withdraw", str(tmp_path / "wren/van.yml")]
    done = subprocess.run([*command, "--out", str(host.folder / "v")], capture_output=True, text=True)
    assert done.returncode == 2
    assert "van.yml:1:1" in done.stderr
    assert "Traceback" not in done.stderr
    assert sorted((host.folder / "v/wren").rglob("*")) == before
