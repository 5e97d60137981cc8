"""CPU time of building a manual against a bare MkDocs build of the very same pages, in one run.

Run: .venv/bin/python tests/benchmarks/build_cost.py [VAN_FILE] [--runs N]

The pages that vandoc makes are written out once. Then, by turns, so that a noisy machine troubles both alike:
the build with the plugin; MkDocs with the same theme and page frame on the written pages; and MkDocs with its
host theme as it comes. Printed: the median of each and the ratios.
"""

import argparse
import os
import resource
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

import yaml

from vandoc.doors.build import read, write_manual
from vandoc.doors.publish import THEME, settings

ROOT = Path(__file__).parents[2]


def cpu_seconds(config: Path) -> float:
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    command = [sys.executable, "-m", "mkdocs", "build", "-q", "-f", str(config)]
    # With compiled modules, as an installed package has them, even where the shell says to write none.
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    subprocess.run(command, check=True, cwd=config.parent, env={**kept, "NO_MKDOCS_2_WARNING": "1"})
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def write_config(folder: Path, name: str, van_file: Path | None, docs: Path, frame: bool) -> Path:
    theme = {**settings()["theme"]} if frame else {"name": settings()["theme"]["name"], "font": False}
    if frame and van_file is None:
        theme["custom_dir"] = str(THEME)
    plugins = [*settings()["plugins"]]
    if van_file:
        plugins.append({"vandoc": {"system": str(van_file)}})
    config = {
        "site_name": "Benchmark",
        "docs_dir": str(docs),
        "site_dir": str(folder / f"site-{name}"),
        "use_directory_urls": False,
        "theme": theme,
        "plugins": plugins,
        "markdown_extensions": settings()["markdown_extensions"],
    }
    path = folder / f"{name}.yml"
    path.write_text(yaml.safe_dump(config), "utf-8")
    return path


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("van_file", nargs="?", type=Path, default=ROOT / "sites/curlew/van.yml")
    parser.add_argument("--runs", type=int, default=5)
    options = parser.parse_args()
    van_file = options.van_file.resolve()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        docs, empty = folder / "docs", folder / "empty"
        empty.mkdir()
        pages = write_manual(read(van_file)).files
        for path, content in pages.items():
            target = docs / path
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(content if isinstance(content, bytes) else content.encode())
        count = sum(path.endswith(".md") for path in pages)
        configs = {
            "with the plugin": write_config(folder, "plugin", van_file, empty, frame=True),
            "bare, same frame": write_config(folder, "frame", None, docs, frame=True),
            "bare, host theme": write_config(folder, "host", None, docs, frame=False),
        }
        for config in configs.values():
            cpu_seconds(config)  # modules and templates are compiled once
        times: dict[str, list[float]] = {label: [] for label in configs}
        for _ in range(options.runs):
            for label, config in configs.items():
                times[label].append(cpu_seconds(config))
    print(f"{count} pages, {options.runs} runs, CPU seconds (median, least, most):")
    for label, values in times.items():
        print(f"  {label:18} {statistics.median(values):6.2f} {min(values):6.2f} {max(values):6.2f}")
    for label in list(configs)[1:]:
        pairs = zip(times["with the plugin"], times[label], strict=True)
        ratios = sorted(a / b for a, b in pairs)
        print(f"  ratio to {label}: {statistics.median(ratios):.2f} ({ratios[0]:.2f} to {ratios[-1]:.2f})")


if __name__ == "__main__":
    main()
