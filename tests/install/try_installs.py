"""Build the wheel and the source archive, install the wheel into clean environments, and use it there.

Run it from the project's folder: ``python tests/install/try_installs.py``. The lowest versions that
pyproject.toml allows are tried on Python 3.11, the newest on every later Python that the machine offers; as
many are tried side by side as there are cores.
Nothing is imported from the source tree: each environment works in a folder of its own, on copies of the
demonstration vans. All are checked and built as one site; each environment builds and prints another one by
itself, with ``--every-van`` all of them. The exit status is 1 if a command fails anywhere.
"""

import argparse
import json
import os
import re
import shutil
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from tempfile import TemporaryDirectory

ROOT = Path(__file__).parents[2]
LOWEST = Path(__file__).parent / "lowest.txt"
NAMED = re.compile(r"python3\.\d+")
ASKED = "import sys; print(sys.version_info[1], sys.prefix == sys.base_prefix, sys.executable)"


def pythons() -> dict[int, Path]:
    """One interpreter for each minor version of Python 3 from 3.11 on."""
    folders = [Path(folder) for folder in os.environ["PATH"].split(os.pathsep)]
    folders += [Path("/usr/bin"), Path("/usr/local/bin"), *Path.home().glob(".pyenv/versions/*/bin")]
    found: dict[int, Path] = {}
    for folder in folders:
        for path in sorted(folder.glob("python3.*")):
            if not NAMED.fullmatch(path.name):
                continue
            asked = subprocess.run([path, "-c", ASKED], capture_output=True, text=True, check=False)
            if asked.returncode:
                continue  # a name of a version manager for which no version is chosen
            minor, outside, executable = asked.stdout.split(maxsplit=2)
            if int(minor) >= 11 and outside == "True":
                found.setdefault(int(minor), Path(executable.strip()))
    return dict(sorted(found.items()))


def run(command: list[str | Path], folder: Path) -> str:
    """Run a command in a folder, without a way back to the source tree; stop everything if it fails."""
    clean = {key: value for key, value in os.environ.items() if not key.startswith(("PYTHON", "VIRTUAL_ENV"))}
    done = subprocess.run(command, cwd=folder, env=clean, capture_output=True, text=True, check=False)
    if done.returncode:
        sys.exit(f"{' '.join(map(str, command))}\n{done.stdout}{done.stderr}\nexit status {done.returncode}")
    return done.stdout


def built(folder: Path) -> Path:
    """The wheel, made from the source archive, which is made from what is committed or about to be."""
    listed = run(["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"], ROOT)
    source = folder / "source"
    for name in filter(None, listed.split("\0")):
        if (ROOT / name).is_file():
            (source / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(ROOT / name, source / name)
    run([sys.executable, "-m", "build", "--outdir", folder / "dist", source], folder)
    (archive,) = (folder / "dist").glob("*.tar.gz")
    (wheel,) = (folder / "dist").glob("*.whl")
    print(f"built {archive.name} and {wheel.name}", flush=True)
    return wheel


def tried(python: Path, wheel: Path, folder: Path, constraints: list[str | Path], alone: slice) -> str:
    """Install the wheel and use it; returns what `check` found, for comparison.

    The vans that `alone` cuts out are built and printed by themselves too.
    """
    folder.mkdir()
    run([python, "-m", "venv", "--without-pip", folder / "env"], folder)
    bin_ = folder / "env" / "bin"
    pip: list[str | Path] = [sys.executable, "-m", "pip", "--python", bin_ / "python"]
    run([*pip, "install", "--quiet", "--no-compile", *constraints, f"{wheel}[paper]"], folder)
    run([*pip, "check"], folder)
    shutil.copytree(ROOT / "sites", folder / "sites")
    shutil.copy(ROOT / "mkdocs.yml", folder)
    vans: list[str | Path] = sorted(str(p.relative_to(ROOT)) for p in (ROOT / "sites").glob("*/van.yml"))
    some = vans[alone]
    where = run([bin_ / "python", "-c", "import vandoc; print(vandoc.__file__)"], folder).strip()
    assert Path(where).is_relative_to(folder / "env"), where
    found = run([bin_ / "vandoc", "check", *vans, "--format", "json"], folder)
    assert all(van["findings"] for van in json.loads(found)["vans"])
    run([bin_ / "mkdocs", "build", "--strict", "--site-dir", "site"], folder)
    # strict: it has no other way but --draft
    run([bin_ / "vandoc", "build", *some, "--out", "manuals"], folder)
    for page in ("site/index.html", *(f"manuals/{Path(van).parent.name}/index.html" for van in some)):
        assert (folder / page).stat().st_size > 1000, page
    run([bin_ / "vandoc", "print", *some, "--only", "labels", "--out", "paper"], folder)
    for van in some:
        assert (folder / "paper" / Path(van).parent.name / "labels.pdf").read_bytes().startswith(b"%PDF")
    return found


def main() -> None:
    options = argparse.ArgumentParser()
    options.add_argument("--every-van", action="store_true", help="build and print all of them everywhere")
    every = options.parse_args().every_van
    offered = pythons()
    if 11 not in offered:
        sys.exit("Python 3.11 is missing")
    runs = [(11, "lowest"), *((minor, "newest") for minor in offered if minor > 11)]
    if len(runs) == 1:
        print("this machine offers no Python later than 3.11: newest versions are not tried on one")
    vans = len(list((ROOT / "sites").glob("*/van.yml")))
    with TemporaryDirectory() as name:
        folder = Path(name).resolve()
        wheel = built(folder)

        def one(place: int, minor: int, versions: str) -> str:
            constraints: list[str | Path] = ["--constraint", LOWEST] if versions == "lowest" else []
            start = place % vans
            alone = slice(None) if every or len(runs) == 1 else slice(start, start + 1)
            found = tried(offered[minor], wheel, folder / f"3.{minor}", constraints, alone)
            print(f"Python 3.{minor}, {versions} versions: check, build and print work", flush=True)
            return found

        with ThreadPoolExecutor(os.cpu_count()) as threads:
            findings = list(threads.map(lambda run: one(run[0], *run[1]), enumerate(runs)))
    if len(set(findings)) > 1:
        sys.exit("check does not find the same everywhere")


if __name__ == "__main__":
    main()
