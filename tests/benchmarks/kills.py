"""`record` and `service` killed at many random moments; nothing that was written is lost.

Run it from the project's folder: ``python tests/benchmarks/kills.py [how many]``. The tests take thirty.
"""

import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from types import ModuleType

import pytest

# A library may have installed a package of the same name, which would come first.
sys.modules["tests"] = ModuleType("tests")
sys.modules["tests"].__path__ = [str(Path(__file__).parents[1])]
from tests.recording.test_kills import kill_at_random, make_tern, record, service  # noqa: E402 (found only then)


def main() -> None:
    kills = int(sys.argv[1]) if len(sys.argv) > 1 else 300
    for work in (record, service):
        with TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
            kill_at_random(make_tern(Path(folder)), work, kills, patch)
        print(f"{work.__name__}: {kills} kills, nothing lost")


if __name__ == "__main__":
    main()
