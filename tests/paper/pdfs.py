"""What tests of printed files share: a PDF taken apart by a library that had no part in making it."""

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from html import unescape
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from PIL import Image
from pypdf import PageObject, PdfReader
from pypdf.generic import ContentStream

MM = 25.4 / 72


@dataclass(frozen=True)
class Box:
    """A rectangle on a page, from its upper left corner. [mm]"""

    x: float
    y: float
    width: float
    height: float
    text: str = ""


def program(name: str) -> str:
    """A program of poppler; where it is missing the test is skipped, but never in CI."""
    path = shutil.which(name)
    if path is None:
        if os.environ.get("CI") == "true":
            pytest.fail(f"{name} is not installed, and CI must look at what is printed")
        pytest.skip(f"{name} is not installed")
    return path


def reader(content: bytes) -> PdfReader:
    return PdfReader(BytesIO(content), strict=True)


def _times(inner: list[float], outer: list[float]) -> list[float]:
    a, b, c, d, e, f = inner
    g, h, i, j, k, m = outer
    return [a * g + b * i, a * h + b * j, c * g + d * i, c * h + d * j, e * g + f * i + k, e * h + f * j + m]


def filled(page: PageObject) -> list[Box]:
    """Every rectangle that is drawn on a page, wherever its transformations put it."""
    height = float(page.mediabox.height)
    matrix, stack, boxes = [1.0, 0, 0, 1, 0, 0], [], []
    for operands, operator in ContentStream(page.get_contents(), page.pdf).operations:
        if operator == b"q":
            stack.append(matrix)
        elif operator == b"Q":
            matrix = stack.pop()
        elif operator == b"cm":
            matrix = _times([float(value) for value in operands], matrix)
        elif operator == b"re":
            x, y, width, tall = map(float, operands)
            xs, ys = [], []
            for px, py in ((x, y), (x + width, y + tall)):
                xs.append(px * matrix[0] + py * matrix[2] + matrix[4])
                ys.append(px * matrix[1] + py * matrix[3] + matrix[5])
            boxes.append(
                Box(min(xs) * MM, (height - max(ys)) * MM, (max(xs) - min(xs)) * MM, (max(ys) - min(ys)) * MM)
            )
    return boxes


def words(content: bytes, folder: Path) -> list[list[Box]]:
    """The words of each page with the box that each takes, by poppler."""
    file = folder / "words.pdf"
    file.write_bytes(content)
    command = [program("pdftotext"), "-bbox", str(file), "-"]
    out = subprocess.run(command, check=True, capture_output=True, text=True).stdout
    pages = []
    for part in out.split("<page ")[1:]:
        found = re.findall(
            r'xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">(.*?)</word>', part
        )
        pages.append(
            [
                Box(
                    float(a) * MM,
                    float(b) * MM,
                    (float(c) - float(a)) * MM,
                    (float(d) - float(b)) * MM,
                    unescape(text),
                )
                for a, b, c, d, text in found
            ]
        )
    return pages


def texts(content: bytes) -> list[str]:
    """What each page says, in the order in which it was written, by poppler: readers in Python take long."""
    out = subprocess.run(
        [program("pdftotext"), "-raw", "-", "-"], input=content, check=True, capture_output=True
    )
    *pages, rest = out.stdout.decode().split("\f")
    assert not rest
    return [" ".join(page.split()) for page in pages]


def picture(content: bytes, page: int, folder: Path, dpi: int = 300) -> Image.Image:
    """A page as poppler draws it."""
    file, out = folder / "page.pdf", folder / "page"
    file.write_bytes(content)
    command = [program("pdftoppm"), "-r", str(dpi), "-png", "-f", str(page), "-l", str(page), "-singlefile"]
    subprocess.run([*command, str(file), str(out)], check=True, capture_output=True)
    return Image.open(f"{out}.png").convert("RGB")


def fonts(found: PdfReader) -> Iterator[tuple[str, bool]]:
    """The name of every font that any page uses, and whether its letters are inside the file."""
    for page in found.pages:
        for font in (page.get("/Resources", {}).get("/Font") or {}).values():
            whole: Any = font.get_object()
            below = whole.get("/DescendantFonts")
            inner = below.get_object()[0].get_object() if below else whole
            facts = inner["/FontDescriptor"].get_object()
            yield (
                str(whole["/BaseFont"]),
                any(key in facts for key in ("/FontFile", "/FontFile2", "/FontFile3")),
            )


def tags(found: PdfReader) -> dict[str, int]:
    """How often each structure element stands in the document."""
    counts: dict[str, int] = {}
    todo = [found.trailer["/Root"]["/StructTreeRoot"].get_object()]
    while todo:
        item = todo.pop()
        if isinstance(item, list):
            todo += [one.get_object() for one in item]
        elif isinstance(item, dict):
            if "/S" in item:
                counts[item["/S"]] = counts.get(item["/S"], 0) + 1
            if "/K" in item:
                todo.append(item["/K"].get_object())
    return counts


def assert_fit_for_everybody(content: bytes) -> None:
    """Tagged, with title and language, every font inside, nothing that reaches out."""
    found = reader(content)
    root = found.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en"
    assert found.metadata.title
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert b"pdfuaid" in root["/Metadata"].get_object().get_data()
    assert "/Document" in tags(found)
    names = list(fonts(found))
    assert names
    assert all(inside for _, inside in names), names
    raw = b"".join(page.get_contents().get_data() for page in found.pages)
    assert b"/JavaScript" not in content
    assert raw
    assert breaches(content) == []


def breaches(content: bytes) -> list[str]:
    """What a checker of PDF/UA-1 (ISO 14289-1), as far as a machine can judge it, calls an error."""
    with TemporaryDirectory() as folder:
        file = Path(folder) / "checked.pdf"
        file.write_bytes(content)
        command = [sys.executable, "-m", "pdfua", "check", "--format", "json", str(file)]
        done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode in (0, 1, 2, 3), done.stderr
    return re.findall(r'"(UA-\d+-\d+)"[^{}]*?"severity": "ERROR"', done.stdout, re.IGNORECASE)
