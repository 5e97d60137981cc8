"""Photographs made fit to publish: upright, no larger than a page shows, without what a camera adds."""

import warnings
from io import BytesIO
from typing import TYPE_CHECKING

from vandoc.ground.errors import VandocError

if TYPE_CHECKING:
    from PIL.Image import Image

LONGEST_PX = 1600  # four times the width of a phone, for its dense screen and a look from nearby
MOST_PX = 100_000_000
QUALITY = 82
KINDS = {"jpg": "JPEG", "jpeg": "JPEG", "png": "PNG", "webp": "WEBP"}


def publishable(content: bytes, name: str) -> bytes:
    """Return a picture as a page shows it; the same content always gives the same bytes.

    EXIF, XMP, IPTC, comments and colour profiles are left out (position, owner and serial number of a camera
    are among them); the orientation that EXIF tells of is applied first, and colours become those of sRGB.

    Parameters
    ----------
    content : bytes
        JPEG, PNG or WebP; of an animation the first picture is taken.
    name : str
        Whose ending tells which.

    Raises
    ------
    VandocError
        When it cannot be read as such, or has more than a hundred million pixels.
    """
    from PIL import Image, ImageOps  # most vans have no picture, and it takes a while to load

    kind = KINDS[name.rpartition(".")[2].lower()]
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)  # the limit below is lower
            with Image.open(BytesIO(content), formats=[kind]) as opened:
                if opened.width * opened.height > MOST_PX:
                    raise VandocError(f"has more than {MOST_PX // 1_000_000} million pixels; save it smaller")
                opened.draft(
                    None, (LONGEST_PX, LONGEST_PX)
                )  # a JPEG is read at about the size that is needed
                picture = _in_srgb(ImageOps.exif_transpose(opened))
    except (OSError, ValueError, SyntaxError, EOFError, Image.DecompressionBombError) as error:
        raise VandocError("cannot be read as a picture; save it again as a JPEG or PNG file") from error
    picture.thumbnail((LONGEST_PX, LONGEST_PX), Image.Resampling.LANCZOS)
    bare = Image.new(picture.mode, picture.size)
    bare.paste(picture)
    written = BytesIO()
    options = {"optimize": True} if kind != "WEBP" else {"method": 4}
    bare.save(written, kind, quality=QUALITY, **options)
    return written.getvalue()


def _in_srgb(picture: "Image") -> "Image":
    """Return a picture in grey, RGB or RGBA, its colours as its profile means them."""
    from PIL import ImageCms

    profile = picture.info.get("icc_profile")
    clear = "A" in picture.getbands() or "transparency" in picture.info
    if profile and picture.mode in ("RGB", "CMYK"):
        try:
            found = ImageCms.ImageCmsProfile(BytesIO(profile))
            srgb = ImageCms.createProfile("sRGB")
            picture = ImageCms.profileToProfile(picture, found, srgb, outputMode="RGB") or picture
        except ImageCms.PyCMSError:
            pass  # a broken profile tells nothing of the colours
    if clear:
        return picture.convert("RGBA")
    return picture.convert("L" if picture.mode in ("1", "L", "LA", "I;16", "I", "F") else "RGB")
