"""Published photographs: what a camera adds is gone, what it shows is upright; read byte by byte here.

Layout of files: JPEG: ISO/IEC 10918-1 Annex B and JFIF; PNG: W3C PNG (Third Edition); WebP: its container
specification (RFC 9649). EXIF tag 0x0112 (orientation): CIPA DC-008.
"""

import struct
from io import BytesIO

import pytest
from PIL import Image

from vandoc.ground.errors import VandocError
from vandoc.pages.manual.pictures import LONGEST_PX, publishable

XMP = b"http://ns.adobe.com/xap/1.0/\0<x:xmpmeta xmlns:x='adobe:ns:meta/'>OWNER-NAME</x:xmpmeta>"
IPTC = b"Photoshop 3.0\x008BIM\x04\x04\0\0\0\0\0\x0cOWNER-NAME\0\0"
SECRETS = (
    b"OWNER-NAME",
    b"SERIAL-4711",
    b"Exif",
    b"ns.adobe.com",
    b"Photoshop",
    b"GPS",
    b"eXIf",
    b"XMP ",
    b"EXIF",
)


def photo(kind: str, width: int = 400, height: int = 300, orientation: int = 1, mode: str = "RGB") -> bytes:
    """A photograph, red in its top left quarter as a camera stores it, with all that a camera may add."""
    picture = Image.new(mode, (width, height), "white")
    picture.paste(Image.new(mode, (width // 2, height // 2), "red"), (0, 0))
    exif = Image.Exif()
    exif[0x0112], exif[0x013B], exif[0x010F] = orientation, "OWNER-NAME", "SERIAL-4711"
    place = exif.get_ifd(0x8825)
    place[1], place[2], place[3], place[4] = "N", (51.0, 28.0, 38.0), "W", (0.0, 0.0, 5.0)
    written = BytesIO()
    picture.save(written, kind, exif=exif.tobytes(), **({"quality": 95} if kind != "PNG" else {}))
    content = written.getvalue()
    if kind == "JPEG":
        extra = b"".join(
            bytes((0xFF, mark)) + struct.pack(">H", len(data) + 2) + data
            for mark, data in ((0xE1, XMP), (0xED, IPTC), (0xFE, b"OWNER-NAME"))
        )
        content = content[:2] + extra + content[2:]
    return content


def parts(content: bytes) -> list[str]:
    """The names of the parts of which a picture file consists."""
    if content.startswith(b"\x89PNG"):
        found, at = [], 8
        while at < len(content):
            length = int.from_bytes(content[at : at + 4], "big")
            found.append(content[at + 4 : at + 8].decode())
            at += length + 12
        return found
    if content.startswith(b"RIFF"):
        found, at = [], 12
        while at < len(content):
            length = int.from_bytes(content[at + 4 : at + 8], "little")
            found.append(content[at : at + 4].decode())
            at += 8 + length + length % 2
        return found
    found, at = [], 2
    while content[at + 1] != 0xDA:  # start of scan
        found.append(f"{content[at + 1]:02X}")
        at += 2 + int.from_bytes(content[at + 2 : at + 4], "big")
    return found


PLAIN = {
    "JPEG": {"E0", "DB", "C0", "C2", "C4"},
    "PNG": {"IHDR", "PLTE", "tRNS", "IDAT", "IEND"},
    "WEBP": {"VP8 ", "VP8L", "VP8X", "ALPH"},
}
ENDING = {"JPEG": "a.jpg", "PNG": "a.PNG", "WEBP": "a.webp"}


@pytest.mark.parametrize("kind", ENDING)
def test_nothing_that_a_camera_adds_is_left(kind: str) -> None:
    given = photo(kind)
    assert any(secret in given for secret in SECRETS)
    assert set(parts(given)) - PLAIN[kind]
    made = publishable(given, ENDING[kind])
    assert set(parts(made)) <= PLAIN[kind]
    assert not [secret for secret in SECRETS if secret in made]


@pytest.mark.parametrize("kind", ENDING)
@pytest.mark.parametrize(
    # Which quarter of the upright picture was stored at the top left, after the figure of the standard.
    ("orientation", "corner"),
    [
        (1, "left top"),
        (2, "right top"),
        (3, "right bottom"),
        (4, "left bottom"),
        (5, "left top"),
        (6, "right top"),
        (7, "right bottom"),
        (8, "left bottom"),
    ],
)
def test_pictures_are_upright(kind: str, orientation: int, corner: str) -> None:
    made = Image.open(BytesIO(publishable(photo(kind, orientation=orientation), ENDING[kind]))).convert("RGB")
    assert made.size == ((400, 300) if orientation < 5 else (300, 400))
    x = made.width // 4 if "left" in corner else made.width * 3 // 4
    y = made.height // 4 if "top" in corner else made.height * 3 // 4
    red, green, blue = made.getpixel((x, y))  # type: ignore[misc]
    assert red > 240
    assert green < 20
    assert blue < 20
    assert made.getpixel((made.width - x, made.height - y))[1] > 240  # type: ignore[index]


@pytest.mark.parametrize("kind", ENDING)
def test_pictures_are_no_larger_than_a_page_shows_and_never_enlarged(kind: str) -> None:
    made = Image.open(BytesIO(publishable(photo(kind, 4000, 3000, 6), ENDING[kind])))
    assert made.size == (LONGEST_PX * 3 // 4, LONGEST_PX)
    assert Image.open(BytesIO(publishable(photo(kind, 40, 30), ENDING[kind]))).size == (40, 30)


@pytest.mark.parametrize("kind", ENDING)
def test_the_same_picture_gives_the_same_bytes(kind: str) -> None:
    assert publishable(photo(kind), ENDING[kind]) == publishable(photo(kind), ENDING[kind])


def test_transparent_pictures_stay_transparent_and_grey_ones_grey() -> None:
    for mode in ("RGBA", "LA", "P", "L", "1", "I;16"):
        picture = (
            Image.new("RGBA", (8, 8), (10, 20, 30, 0)).convert("P")
            if mode == "P"
            else Image.new(mode, (8, 8))
        )
        if mode == "P":
            picture.info["transparency"] = 0
        written = BytesIO()
        picture.save(written, "PNG")
        made = Image.open(BytesIO(publishable(written.getvalue(), "a.png")))
        assert ("A" in made.getbands()) == (mode in ("RGBA", "LA", "P"))


def test_print_colours_and_animations_become_plain_pictures() -> None:
    written = BytesIO()
    Image.new("CMYK", (20, 20), (0, 255, 255, 0)).save(written, "JPEG")
    assert Image.open(BytesIO(publishable(written.getvalue(), "a.jpg"))).mode == "RGB"
    written = BytesIO()
    frames = [Image.new("RGB", (20, 20), colour) for colour in ("red", "blue")]
    frames[0].save(written, "WEBP", save_all=True, append_images=frames[1:])
    made = Image.open(BytesIO(publishable(written.getvalue(), "a.webp")))
    assert getattr(made, "n_frames", 1) == 1


@pytest.mark.parametrize(
    "content",
    [b"\xff\xd8\xff", photo("JPEG")[:700], b"\xff\xd8\xff" + b"x" * 5000, photo("PNG"), b""],
    ids=["start", "cut", "noise", "other", "empty"],
)
def test_what_is_no_picture_says_so(content: bytes) -> None:
    with pytest.raises(VandocError, match="cannot be read as a picture"):
        publishable(content, "a.jpg")


def test_a_picture_that_would_fill_the_memory_is_refused() -> None:
    head = struct.pack(">IIBBBBB", 60_000, 60_000, 8, 2, 0, 0, 0)
    import zlib

    bomb = b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
        for name, data in ((b"IHDR", head), (b"IDAT", zlib.compress(b"\0" * 1000)), (b"IEND", b""))
    )
    with pytest.raises(VandocError, match=r"million pixels|cannot be read"):
        publishable(bomb, "a.png")
