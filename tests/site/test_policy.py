"""What a page may run and ask for: its Content-Security-Policy, tried in a browser.

`test_whole_site.py` reads it as text on every page. Directives: W3C Content Security Policy Level 3;
robots.txt: RFC 9309.
"""

import threading
from collections.abc import Iterator
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any
from urllib.robotparser import RobotFileParser

import pytest

from tests.conftest import DEMO_VANS

VANS = [path.parent.name for path in DEMO_VANS]
# One of each template that adds a script, the heaviest drawings, and the card.
SAMPLE = (
    "card.html",
    "index.html",
    "stopped.html",
    "lights.html",
    "tonight.html",
    "charging.html",
    "electrician/diagram.html",
    "electrician/energy.html",
    "electrician/cables.html",
)
INTRUDER = """() => new Promise(done => {
  window.ran = false;
  const script = Object.assign(document.createElement("script"), { textContent: "window.ran = true" });
  document.body.append(script);
  document.body.insertAdjacentHTML("beforeend", '<p id="trap" onclick="window.ran = true">x</p>');
  document.getElementById("trap").click();
  const image = Object.assign(new Image(), { src: "https://elsewhere.example/x.png" });
  image.onerror = image.onload = () => setTimeout(() => done(window.ran), 100);
  document.body.append(image);
})"""


@pytest.mark.parametrize("van", VANS)
def test_robots_are_sent_away(manuals: Path, van: str) -> None:
    robots = RobotFileParser()
    robots.parse((manuals / van / "robots.txt").read_text("utf-8").splitlines())
    assert not robots.can_fetch("anything", "/card.html")


class Quiet(SimpleHTTPRequestHandler):
    def log_message(self, *_args: Any) -> None:
        pass


@pytest.fixture(scope="module", params=["disk", "host"])
def home(request: Any, manuals: Path) -> Iterator[str]:
    if request.param == "disk":
        yield (manuals / "curlew").as_uri()
        return
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=str(manuals / "curlew")))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    server.server_close()


@pytest.mark.parametrize("path", SAMPLE)
def test_pages_need_nothing_that_is_forbidden_and_an_intruder_gets_nowhere(
    browser: Any, home: str, path: str
) -> None:
    context = browser.new_context(viewport={"width": 360, "height": 640}, service_workers="block")
    page = context.new_page()
    said: list[str] = []
    left: list[str] = []
    page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on("requestfinished", lambda request: request.url.startswith(home) or left.append(request.url))
    page.goto(f"{home}/{path}", wait_until="load")
    assert said == []
    assert path == "card.html" or page.evaluate("document.documentElement.className") == "js"
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(250, 247, 240)"
    assert page.evaluate(INTRUDER) is False
    assert any("Content Security Policy" in text for text in said), (
        "the intruder was not stopped by the policy"
    )
    assert left == []
    context.close()
