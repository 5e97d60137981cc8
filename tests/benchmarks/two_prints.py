"""Both books of every demonstration van, printed twice: by two processes, in other time zones and languages.

Run it from the project's folder: ``python tests/benchmarks/two_prints.py``. The tests print the owner's book
of a small van twice.
"""

import os
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

ROOT = Path(__file__).parents[2]
PLACES = (
    {"TZ": "UTC", "LC_ALL": "C.UTF-8", "PYTHONHASHSEED": "1"},
    {"TZ": "Asia/Tokyo", "LC_ALL": "C", "PYTHONHASHSEED": "2"},
)


def main() -> None:
    different = 0
    with TemporaryDirectory() as name:
        for van_file in sorted((ROOT / "sites").glob("*/van.yml")):
            made = []
            for number, place in enumerate(PLACES):
                out = Path(name) / str(number)
                command = [sys.executable, "-m", "vandoc", "print", str(van_file), "--out", str(out)]
                command += ["--only", "owner", "--only", "electrician"]
                subprocess.run(command, env={**os.environ, **place}, check=True, capture_output=True)
                made.append({path.name: path.read_bytes() for path in out.rglob("*.pdf")})
            same = made[0] == made[1]
            different += not same
            print(f"{van_file.parent.name}: {', '.join(made[0])} {'the same' if same else 'different'}")
    sys.exit(bool(different))


if __name__ == "__main__":
    main()
