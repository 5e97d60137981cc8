"""A copy of the package in which one mutant after the other meets what has to notice it."""

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import cached_property
from pathlib import Path

from tests.conftest import ROOT
from tests.says.mutants import SAYS, Mutant

NOT_RUN = 3  # of pytest's exit statuses: from here on it did not run the tests


class Copy:
    """The package in a folder of its own, with the tests and the demonstration vans of the project."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        shutil.copytree(ROOT / "vandoc", folder / "vandoc")
        for name in ("tests", "sites", "pyproject.toml"):
            (folder / name).symlink_to(ROOT / name)

    def run(self, tests: Sequence[str]) -> subprocess.CompletedProcess[str]:
        """Run tests on the package as it is now."""
        command = [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", *tests]
        return subprocess.run(
            command, cwd=self.folder, env=self._env, capture_output=True, text=True, check=False
        )

    def must_pass(self, tests: Sequence[str]) -> None:
        """Raise unless the tests pass without a mutant: only then does a failure tell anything.

        Raises
        ------
        RuntimeError
            With what pytest said.
        """
        done = self.run(tests)
        if done.returncode:
            raise RuntimeError(f"tests fail without a mutant:\n{done.stdout}{done.stderr}")

    def survives(self, mutant: Mutant) -> bool:
        """Return whether nothing notices a mutant, which is taken away again.

        Of what vans say the table alone is asked first, by a process that has read the vans, or that reads
        them if the change is one of code; what it does not miss meets the tests.

        Raises
        ------
        RuntimeError
            If pytest could not run the tests.
        """
        with self._changed(mutant):
            if mutant.tests == SAYS and self._table_notices(mutant.path):
                return False
            done = self.run(mutant.tests)
        if done.returncode >= NOT_RUN:
            raise RuntimeError(f"{mutant.path}: {done.stdout}{done.stderr}")
        return done.returncode == 0

    def close(self) -> None:
        """End the process that asks the table, if there is one."""
        if "_worker" in vars(self):
            self._worker.communicate()

    @property
    def _env(self) -> dict[str, str]:
        return {**os.environ, "PYTHONPATH": str(self.folder), "PYTHONDONTWRITEBYTECODE": "1"}

    @contextmanager
    def _changed(self, mutant: Mutant) -> Iterator[None]:
        path = self.folder / mutant.path
        kept, times = path.read_bytes(), path.stat()
        try:
            path.write_text(mutant.text, "utf-8")
            os.utime(
                path, (times.st_atime, times.st_mtime + 10)
            )  # compiled code goes by the time of its source
            yield
        finally:
            path.write_bytes(kept)
            os.utime(path, (times.st_atime, times.st_mtime))

    @cached_property
    def _worker(self) -> subprocess.Popen[str]:
        return subprocess.Popen(
            self._table,
            cwd=self.folder,
            env=self._env,
            text=True,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
        )

    def start(self) -> None:
        """Let the process that asks the table read its vans, before anything is changed."""
        if self._answer() != "ready":
            raise RuntimeError("the table is broken without a mutant")

    def _table_notices(self, path: str) -> bool:
        if path.endswith((".py", ".csv")):
            done = subprocess.run(
                [*self._table, "once"],
                cwd=self.folder,
                env=self._env,
                capture_output=True,
                text=True,
                check=False,
            )
            return done.stdout.strip() != "survived"
        assert self._worker.stdin is not None
        self._worker.stdin.write(f"{path}\n")
        self._worker.stdin.flush()
        return self._answer() == "noticed"

    @property
    def _table(self) -> list[str]:
        return [sys.executable, str(self.folder / "tests/says/worker.py")]

    def _answer(self) -> str:
        assert self._worker.stdout is not None
        return self._worker.stdout.readline().strip()
