"""Pages judged by axe-core, by day and by night, on a phone."""

from importlib.resources import files
from pathlib import Path
from typing import Any

AXE = (files("axe_playwright_python") / "axe.min.js").read_text("utf-8")
# Only the contrast depends on the colours; everything else was asked by day.
BY_NIGHT = "{resultTypes: ['violations'], runOnly: ['color-contrast']}"
# WCAG 2 asks 7:1 at level AAA; here for all that keeps people safe.
STRICT = (
    "axe.run({include: [['.signal'], ['.steps'], ['.answer'], ['.call']]"
    ".filter(([s]) => document.querySelector(s))},"
    "{runOnly: ['color-contrast-enhanced'], rules: {'color-contrast-enhanced': {enabled: true}}})"
)


def addresses(site: Path) -> list[Path]:
    """Every page; of those that are one template filled many times, the shortest and the longest."""
    pages = sorted(site.rglob("*.html"))
    folders = ("fuse", "electrician/piece", "fault", "electrician/fault")
    alike = [[page for page in pages if page.parent == site / folder] for folder in folders]
    single = [page for page in pages if page.parent not in [site / folder for folder in folders]]
    ends = [sorted(group, key=lambda page: (page.stat().st_size, page)) for group in alike]
    return [*single, *(page for group in ends for page in (group[0], group[-1]))]


def violations(browser: Any, pages: list[Path]) -> list[str]:
    """What axe finds on pages, each once by day and its contrast again by night."""
    context = browser.new_context(viewport={"width": 360, "height": 640}, reduced_motion="reduce")
    opened = context.new_page()
    found: list[str] = []
    for path in pages:
        opened.emulate_media(color_scheme="light")
        opened.goto(path.as_uri())
        opened.evaluate(AXE)
        warns = opened.locator(".signal, .steps, .answer, .call").count()
        for scheme, asked in (("light", "{resultTypes: ['violations']}"), ("dark", BY_NIGHT)):
            opened.emulate_media(color_scheme=scheme)
            answers = [opened.evaluate(f"axe.run({asked})")]
            answers += [opened.evaluate(STRICT)] if warns else []
            for broken in (one for answer in answers for one in answer["violations"]):
                places = [node["target"] for node in broken["nodes"]][:3]
                found.append(f"{path.parent.name}/{path.name}, {scheme}: {broken['id']} {places}")
    context.close()
    return found
