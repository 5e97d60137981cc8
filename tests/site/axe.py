"""Pages judged by axe-core, by day and by night, on a phone."""

from importlib.resources import files
from pathlib import Path
from typing import Any

AXE = (files("axe_playwright_python") / "axe.min.js").read_text("utf-8")
BY_DAY = "{resultTypes: ['violations']}"
# Only the contrast depends on the colours; everything else was asked by day.
BY_NIGHT = "{resultTypes: ['violations'], runOnly: ['color-contrast']}"
# WCAG 2 asks 7:1 at level AAA; here for all that keeps people safe. Both contrasts are judged in one run,
# which works out once what stands behind which words.
ENHANCED = "color-contrast-enhanced"
SAFE = ".signal, .steps, .answer, .call"
JUDGED = f"""async contrast => {{
  const asked = {{resultTypes: ["violations"], elementRef: true}};
  if (!contrast) asked.rules = {{"color-contrast": {{enabled: false}}}};
  else asked.runOnly = ["color-contrast", ...(document.querySelector("{SAFE}") ? ["{ENHANCED}"] : [])];
  const found = [];
  for (const {{id, nodes}} of (await axe.run(asked)).violations) {{
    const counted = nodes.filter(({{element}}) => id !== "{ENHANCED}" || element.closest("{SAFE}"));
    if (counted.length) found.push([id, counted.slice(0, 3).map(node => node.target)]);
  }}
  return found;
}}"""
# Rows and items with the same elements and classes have the same colours: two of each are kept.
THINNED = """() => {
  const seen = {};
  for (const row of document.querySelectorAll("tr, li")) {
    const bare = row.outerHTML.replace(/>[^<]*/g, ">").replace(/ (?!class)[\\w:-]+="[^"]*"/g, "");
    const key = row.parentElement.className + bare;
    seen[key] = (seen[key] || 0) + 1;
    if (seen[key] > 2) row.remove();
  }
}"""


def addresses(site: Path) -> list[Path]:
    """Every page; of those that are one template filled many times, the shortest and the longest."""
    pages = sorted(site.rglob("*.html"))
    folders = ("fuse", "electrician/piece", "fault", "electrician/fault")
    alike = [[page for page in pages if page.parent == site / folder] for folder in folders]
    single = [page for page in pages if page.parent not in [site / folder for folder in folders]]
    ends = [sorted(group, key=lambda page: (page.stat().st_size, page)) for group in alike]
    return [*single, *(page for group in ends for page in (group[0], group[-1]))]


def violations(browser: Any, pages: list[Path], *, thinned: bool = True) -> list[str]:
    """What axe finds on pages, and their contrast by day and by night, with alike rows left out or not."""
    context = browser.new_context(viewport={"width": 360, "height": 640}, reduced_motion="reduce")
    opened = context.new_page()
    found: list[str] = []
    for path in pages:
        opened.emulate_media(color_scheme="light")
        opened.goto(path.as_uri())
        opened.evaluate(AXE)
        broken = [("light", *one) for one in opened.evaluate(JUDGED, False)]
        if thinned:
            opened.evaluate(THINNED)
        for scheme in ("light", "dark"):
            opened.emulate_media(color_scheme=scheme)
            broken += [(scheme, *one) for one in opened.evaluate(JUDGED, True)]
        found += [f"{path.parent.name}/{path.name}, {scheme}: {rule} {at}" for scheme, rule, at in broken]
    context.close()
    return found


def wider_than_a_phone(opened: Any, pages: list[Path]) -> list[str]:
    """The pages that would have to be pushed sideways, on an open page of 360 pixels."""
    found = []
    for path in pages:
        opened.goto(path.as_uri())
        if opened.evaluate("document.documentElement.scrollWidth") > 360:
            found.append(f"{path.parent.name}/{path.name}")
    return found


def violations_of_steps(browser: Any, pages: list[Path], *, by_day: int, by_night: int) -> list[str]:
    """What axe finds on each so many-th step of fault-finding pages by day, and by night."""
    context = browser.new_context(viewport={"width": 360, "height": 640}, reduced_motion="reduce")
    opened = context.new_page()
    found: list[str] = []
    for path in pages:
        opened.emulate_media(color_scheme="light")
        opened.goto(path.as_uri())
        opened.evaluate(AXE)
        steps = opened.locator(".tree > section").evaluate_all("all => all.map(one => one.id)")
        for scheme, asked, shown in (
            ("light", BY_DAY, steps[::by_day]),
            ("dark", BY_NIGHT, steps[::by_night]),
        ):
            opened.emulate_media(color_scheme=scheme)
            for step in shown:
                opened.goto(f"{path.as_uri()}#{step}")
                answer = opened.evaluate(f"axe.run(document.querySelector('main'), {asked})")
                found += [f"{path.name}#{step}, {scheme}: {one['id']}" for one in answer["violations"]]
    context.close()
    return found
