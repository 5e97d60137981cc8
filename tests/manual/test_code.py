"""The code on the door is read by an independent reader, and is not there without an address."""

from io import BytesIO

import pytest
import zxingcpp
from PIL import Image

from tests.manual.manuals import VANS, judged, manual, page, pages_of, with_system, words


def address_of(van):
    """Where the code leads, with the revision where one is archived."""
    found = judged(van)
    asked = f"?r={found.revisions[-1].mark}" if found.revisions else ""
    return f"{found.system.van.published}card.html{asked}"


def decoded(data: bytes) -> list[str]:
    image = Image.open(BytesIO(data)).convert("L")
    return [code.text for code in zxingcpp.read_barcodes(image)]


@pytest.mark.parametrize("van", VANS)
def test_the_picture_of_the_code_reads_as_the_address(van):
    address = address_of(van)
    assert decoded(manual(van).files["assets/code.png"]) == [address]
    assert address in words(page(van, "code.md"))


def test_a_scratched_code_still_reads():
    # ISO/IEC 18004: level M restores about 15 % of the codewords.
    image = Image.open(BytesIO(manual("curlew").files["assets/code.png"])).convert("L")
    side = image.width // 9
    image.paste(255, (image.width // 2, image.height // 2, image.width // 2 + side, image.height // 2 + side))
    address = address_of("curlew")
    assert [code.text for code in zxingcpp.read_barcodes(image)] == [address]


def test_the_code_on_the_page_and_the_file_read_as_the_address(browser):
    address = address_of("curlew")
    context = browser.new_context(viewport={"width": 600, "height": 600}, color_scheme="dark")
    for html in (
        manual("curlew").files["assets/code.svg"].decode(),
        next(part for part in manual("curlew").files["code.md"].split("\n") if part.startswith("<svg")),
    ):
        tab = context.new_page()
        tab.set_content(f"<body style='background:#110d0a'>{html}</body>")
        assert decoded(tab.screenshot()) == [address]
        tab.close()
    context.close()


def test_without_an_address_there_is_a_note_and_no_code():
    found = judged("wren")
    van = found.system.van.model_copy(update={"published": None})
    system = found.system.model_copy(update={"van": van})
    made = pages_of(with_system(found, system))
    assert "not published online" in made.files["code.md"]
    assert not [path for path in made.files if path.startswith("assets/code")]
    # The codes that need no address are there all the same.
    assert decoded(made.files["assets/without-signal-1.png"])
