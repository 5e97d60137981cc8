"""A lock on a file that the system takes away when its process ends, however it ends."""

import os
import sys
from pathlib import Path

if sys.platform == "win32":
    import msvcrt

    def _lock(handle: int) -> None:
        os.lseek(handle, 1 << 30, os.SEEK_SET)  # beyond the content, which others may read
        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        os.lseek(handle, 0, os.SEEK_SET)
else:
    import fcntl

    def _lock(handle: int) -> None:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)


class Lock:
    """A file that this process alone holds.

    Parameters
    ----------
    path : Path
        Made when it is not there.

    Raises
    ------
    BlockingIOError
        When another process, or another lock of this one, holds it.
    OSError
        When it cannot be opened.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        while True:
            self.handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o666)
            try:
                _lock(self.handle)
            except OSError as error:
                os.close(self.handle)
                raise BlockingIOError(error.errno, error.strerror, str(path)) from error
            if self._still_there():
                return
            os.close(self.handle)  # whoever held it took it away

    def _still_there(self) -> bool:
        try:
            return os.path.samestat(os.fstat(self.handle), self.path.stat())
        except FileNotFoundError:
            return False

    def write(self, text: str) -> None:
        """Make this the file's content; whenever it is cut short, the file does not become empty."""
        content = text.encode()
        os.lseek(self.handle, 0, os.SEEK_SET)
        left = content
        while left:
            left = left[os.write(self.handle, left) :]
        os.ftruncate(self.handle, len(content))

    def release(self) -> None:
        """Give it up, and leave the file; a second time does nothing."""
        if self.handle >= 0:
            os.close(self.handle)
        self.handle = -1

    def remove(self) -> None:
        """Take the file away, and give it up."""
        if sys.platform == "win32":  # no open file can be taken away; one that another opened stays
            self.release()
        self.path.unlink(missing_ok=True)
        self.release()
