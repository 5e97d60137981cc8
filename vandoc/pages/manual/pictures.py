"""Preparation of photographs for publication: upright, reduced in size, without metadata."""

import warnings
from io import BytesIO
from typing import TYPE_CHECKING

from vandoc.ground.errors import VandocError
from vandoc.ground.messages import Messages

tell = Messages("vandoc.pages.manual", "own_files").say

if TYPE_CHECKING:
    from PIL.Image import Image

LONGEST_PX = 1600  # four times the width of a phone in CSS pixels: dense screens, zooming in
LOGO_PX = 480  # three times its width on a page
MOST_PX = 100_000_000
QUALITY = 82
KINDS = {"jpg": "JPEG", "jpeg": "JPEG", "png": "PNG", "webp": "WEBP"}


def publishable(content: bytes, name: str, longest_px: int = LONGEST_PX) -> bytes:
    """Return a picture prepared for publication; equal content always gives equal bytes.

    EXIF, XMP, IPTC, comments and colour profiles are removed (they include position, owner and serial number
    of a camera). The EXIF orientation is applied first, and colours are converted to sRGB.

    Parameters
    ----------
    content : bytes
        JPEG, PNG or WebP; only the first frame of an animation is used.
    name : str
        File name; its extension selects the format.
    longest_px : int
        Maximum width and height. [px]

    Raises
    ------
    VandocError
        If it cannot be read in this format, or has more than a hundred million pixels.
    """
    from PIL import Image, ImageOps  # slow to load, and most vans have no picture

    kind = KINDS[name.rpartition(".")[2].lower()]
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)  # the limit below is lower
            with Image.open(BytesIO(content), formats=[kind]) as opened:
                if opened.width * opened.height > MOST_PX:
                    raise VandocError(tell("pictures.more_million_pixels", millions=MOST_PX // 1000000))
                opened.draft(None, (longest_px, longest_px))  # decodes a JPEG at about the required size
                picture = _in_srgb(ImageOps.exif_transpose(opened))
    except (OSError, ValueError, SyntaxError, EOFError, Image.DecompressionBombError) as error:
        raise VandocError(tell("pictures.cannot_read_picture")) from error
    picture.thumbnail((longest_px, longest_px), Image.Resampling.LANCZOS)
    bare = Image.new(picture.mode, picture.size)
    bare.paste(picture)
    written = BytesIO()
    options = {"optimize": True} if kind != "WEBP" else {"method": 4}
    bare.save(written, kind, quality=QUALITY, **options)
    return written.getvalue()


def _in_srgb(picture: "Image") -> "Image":
    """Return a picture in greyscale, RGB or RGBA, converted from its colour profile to sRGB."""
    from PIL import ImageCms

    profile = picture.info.get("icc_profile")
    clear = "A" in picture.getbands() or "transparency" in picture.info
    if profile and picture.mode in ("RGB", "CMYK"):
        try:
            found = ImageCms.ImageCmsProfile(BytesIO(profile))
            srgb = ImageCms.createProfile("sRGB")
            picture = ImageCms.profileToProfile(picture, found, srgb, outputMode="RGB") or picture
        except ImageCms.PyCMSError:
            pass  # a damaged profile is ignored
    if clear:
        return picture.convert("RGBA")
    return picture.convert("L" if picture.mode in ("1", "L", "LA", "I;16", "I", "F") else "RGB")
