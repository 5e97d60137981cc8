"""HTML to PDF: tagged, with embedded fonts, reproducible to the byte, without network or disk access."""

import logging
from collections.abc import Mapping
from functools import cache
from typing import Any

from vandoc.ground.errors import VandocError
from vandoc.pages.manual.text import HERE as MANUAL
from vandoc.paper.words import say

SCHEME = "vandoc:"
FONTS = MANUAL / "theme" / "assets" / "fonts"
# One family for each file: the PDF library treats two files of one family as one font.
FACES = {
    ("Hyperlegible", 400): "atkinson-hyperlegible-latin-400-normal.woff2",
    ("Hyperlegible", 700): "atkinson-hyperlegible-latin-700-normal.woff2",
    ("Hyperlegible Extended", 400): "atkinson-hyperlegible-latin-ext-400-normal.woff2",
    ("Hyperlegible Extended", 700): "atkinson-hyperlegible-latin-ext-700-normal.woff2",
}
FAMILY = '"Hyperlegible", "Hyperlegible Extended", sans-serif'


def address(name: str) -> str:
    """Return the address of a file that is passed to `to_pdf`."""
    return f"{SCHEME}{name}"


def to_pdf(html: str, files: Mapping[str, bytes], ident: str) -> bytes:
    """Return a document as PDF (PDF/UA-1 as regards its tags).

    Parameters
    ----------
    html : str
        The whole document. Its dates come from its own ``<meta>``, never from the clock.
    files : mapping of str to bytes
        Pictures and drawings that it names by `address`. Any other request is refused.
    ident : str
        Source of the document's fixed identifier.

    Raises
    ------
    VandocError
        If the library or its system libraries are missing, or the document requests anything else.
    """
    weasyprint = _library()
    refused: list[str] = []
    faces = {f"font/{file}": (FONTS / file).read_bytes() for file in FACES.values()}
    fetcher = _fetcher(weasyprint, {**faces, **files}, refused)
    fonts = weasyprint.text.fonts.FontConfiguration()
    page = weasyprint.HTML(string=html, url_fetcher=fetcher)
    style = weasyprint.CSS(string=_faces_css(), font_config=fonts, url_fetcher=fetcher)
    made: bytes = page.write_pdf(
        stylesheets=[style],
        font_config=fonts,
        pdf_variant="pdf/ua-1",
        pdf_identifier=ident.encode(),
        pdf_tags=True,
    )
    if refused:
        raise VandocError(say("refused", address=refused[0]))
    return made


def _faces_css() -> str:
    return "".join(
        f'@font-face {{ font-family: "{family}"; font-weight: {weight}; '
        f'src: url("{address(f"font/{file}")}"); }}\n'
        for (family, weight), file in FACES.items()
    )


@cache
def _library() -> Any:
    try:
        import weasyprint
        import weasyprint.text.fonts
    except ImportError as error:
        raise VandocError(say("missing_library", name=error.name)) from error
    except OSError as error:  # Pango is loaded while the library is imported
        raise VandocError(say("missing_system_library", reason=str(error).splitlines()[0])) from error
    logging.getLogger("weasyprint").setLevel(logging.ERROR)
    return weasyprint


def _fetcher(weasyprint: Any, files: Mapping[str, bytes], refused: list[str]) -> Any:
    types = {
        "svg": "image/svg+xml",
        "png": "image/png",
        "jpg": "image/jpeg",
        "jpeg": "image/jpeg",
        "webp": "image/webp",
    }

    class Fetcher(weasyprint.urls.URLFetcher):  # type: ignore[misc]
        def fetch(self, url: str, headers: Any = None) -> Any:  # noqa: ARG002
            name = url.removeprefix(SCHEME)
            if not url.startswith(SCHEME) or name not in files:
                refused.append(url)
                raise ValueError(url)
            kind = types.get(name.rpartition(".")[2], "application/octet-stream")
            return weasyprint.urls.URLFetcherResponse(url, files[name], {"Content-Type": kind})

    return Fetcher()
