"""Figures in a system of units that does not belong on a page, and vans of both kinds of workshop."""

import re
from collections.abc import Iterator, Mapping
from html import unescape
from pathlib import Path

from vandoc.ground.calc.conductor import AWG_SIZES, awg_area_mm2
from vandoc.model.workshop import House

WORKSHOP = "format: 2\nname: Reed Electrics (fictitious)\nphone: '+44 1632 960 961'\nunits: {units}\n"
SYSTEMS = House.model_fields["units"].annotation.__args__
_AFTER = r"(?![\w²³/·'’-])"
FOREIGN = {
    "US": re.compile(rf"°C|mm²|[%V]/K|\bmetres?\b|(?:\d[ \u00a0]|\[)(?:mm|cm|m|kg|km|N·m|Nm|N|K){_AFTER}"),
    "metric": re.compile(
        rf"°F|\bAWG|\bkcmil|\blbf|\b(?:feet|inch)|(?:\d[ \u00a0]|\[)(?:ft|in|lb|mi){_AFTER}"
    ),
}
"""What is foreign on a page of a van whose workshop works in the system."""
QUOTED = (
    "42.1° N",  # degrees of latitude, north
    "45° N",
    "min(L; N · d · C / Q)",  # a number of cycles
    "| N |",
    "No cable within 100 mm of the gas pipe.",  # a record in the words of whoever wrote it
    "of four metres",
    "fuel lines, 12 inches",  # a standard, quoted: 33 CFR 183.420
)
"""What stands on pages though it looks foreign: other meanings of a letter, quotes, records in words."""
_DRAWN = re.compile(r'\b(?:d|points|viewBox|style|class|transform|content)="[^"]*"|<style>.*?</style>', re.S)


def workshop(units: str) -> str:
    return WORKSHOP.format(units=units)


def in_gauges(text: str) -> str:
    """A van file whose cables are marked with the gauge nearest to its metric size."""

    def gauge(match: re.Match[str]) -> str:
        area = float(match[1])
        return f"{min(AWG_SIZES, key=lambda size: abs(awg_area_mm2(size) - area))} AWG"

    return re.sub(r"(\d+(?:\.\d+)?) mm²", gauge, text)


def put_beside(van_file: Path, units: str) -> Path:
    """Make a van file one of a workshop with units."""
    if units == "US":
        van_file.write_text(in_gauges(van_file.read_text("utf-8")), "utf-8")
    van_file.with_name("workshop.yml").write_text(workshop(units), "utf-8")
    return van_file


def foreign(files: Mapping[str, object], units: str) -> Iterator[str]:
    """Each figure of the other system, with the words around it."""
    for path, content in sorted(files.items()):
        if isinstance(content, bytes) and path.endswith((".csv", ".svg", ".html", ".ics", ".json")):
            content = content.decode("utf-8-sig")
        if isinstance(content, str):
            text = unescape(_DRAWN.sub("", content))
            for quote in QUOTED:
                text = text.replace(quote, "")
            for match in FOREIGN[units].finditer(text):
                yield f"{path}: …{text[max(0, match.start() - 40) : match.end() + 20]}…"
