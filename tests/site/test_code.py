"""The code that leads to the manual, read back by an independent reader."""

from io import BytesIO
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image, ImageFilter

from tests.conftest import DEMO_VANS
from tests.vans.small import SMALL, put_into
from vandoc.doors.build import read
from vandoc.doors.publish import publish

JUDGED = {path.parent.name: read(path) for path in DEMO_VANS}
VANS = {name: found.system.van.published for name, found in JUDGED.items()}


def read(picture: Image.Image) -> list[str]:
    return [code.text for code in zxingcpp.read_barcodes(picture.convert("L"))]


@pytest.mark.parametrize("van", [van for van, address in VANS.items() if address])
def test_the_code_leads_to_the_published_address(manuals, browser, van):
    kept = JUDGED[van].revisions
    address = f"{VANS[van]}card.html{f'?r={kept[-1].mark}' if kept else ''}"
    picture = Image.open(manuals / van / "assets/code.png")
    assert read(picture) == [address]
    blurred = (
        picture.convert("L").resize((400, 400)).rotate(7, fillcolor=255).filter(ImageFilter.GaussianBlur(1))
    )
    assert read(blurred) == [address]

    # The SVG file, and the code on the page as a phone shows it, by day and by night.
    context = browser.new_context(viewport={"width": 360, "height": 900}, device_scale_factor=2)
    page = context.new_page()
    page.goto((manuals / van / "assets/code.svg").as_uri())
    page.set_viewport_size({"width": 800, "height": 800})
    assert read(Image.open(BytesIO(page.screenshot()))) == [address]
    page.set_viewport_size({"width": 360, "height": 640})
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        page.goto((manuals / van / "code.html").as_uri())
        assert address in read(Image.open(BytesIO(page.screenshot(full_page=True))))
    context.close()


def test_no_address_gives_a_note_and_no_code(tmp_path):
    assert "published:" not in SMALL.read_text("utf-8")
    site: Path = publish(put_into(tmp_path), tmp_path / "out")
    assert not list(site.rglob("code.png"))
    assert not list(site.rglob("code.svg"))
    assert "not published online" in (site / "code.html").read_text("utf-8")
