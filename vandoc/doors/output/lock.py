"""File lock that the system releases when its process ends for any reason."""

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
    """File locked by this process alone.

    Parameters
    ----------
    path : Path
        Created if missing.

    Raises
    ------
    BlockingIOError
        If another process, or another lock of this process, holds it.
    OSError
        If it cannot be opened.
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
            os.close(self.handle)  # the previous holder has removed it

    def _still_there(self) -> bool:
        try:
            return os.path.samestat(os.fstat(self.handle), self.path.stat())
        except FileNotFoundError:
            return False

    def write(self, text: str) -> None:
        """Set the content of the file; an interruption never leaves it empty."""
        content = text.encode()
        os.lseek(self.handle, 0, os.SEEK_SET)
        left = content
        while left:
            left = left[os.write(self.handle, left) :]
        os.ftruncate(self.handle, len(content))

    def release(self) -> None:
        """Release the lock and keep the file; a second call does nothing."""
        if self.handle >= 0:
            os.close(self.handle)
        self.handle = -1

    def remove(self) -> None:
        """Remove the file and release the lock."""
        if sys.platform == "win32":  # Windows cannot remove an open file
            self.release()
        self.path.unlink(missing_ok=True)
        self.release()
