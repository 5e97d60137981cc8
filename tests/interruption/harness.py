"""Stop a command at each system call that changes the disk, or have that call fail as on a full disk.

A piece of work runs in a forked child, so that what is loaded is not loaded again; `strace` lists the calls
that change the disk and, in a later run, kills the child as it enters one of them (the call is not made) or
lets the call fail. What a kill leaves on the disk is therefore what the calls before it have made. Killing
before each call in turn covers every such state; after the last one the work is done.

    calls = changing_calls(work)
    for call in calls:
        put_back()
        ended = run(work, call)            # or run(work, call, "ENOSPC")
        ...                                # is anything lost? does the next run work?

Names made at random and process numbers are shown as `*`, so that a call can be found again in another run.
"""

import ctypes
import json
import os
import re
import shutil
import signal
import subprocess
import sys
import traceback
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

CHANGING = (
    "open,openat,creat,write,pwrite64,writev,pwritev,pwritev2,truncate,ftruncate,fallocate,sendfile,"
    "copy_file_range,rename,renameat,renameat2,unlink,unlinkat,mkdir,mkdirat,rmdir,link,linkat,symlink,"
    "symlinkat,mknod,mknodat,chmod,fchmod,fchmodat,chown,fchown,lchown,fchownat,utime,utimes,utimensat,"
    "futimesat,setxattr,lsetxattr,fsetxattr,removexattr,lremovexattr,fremovexattr,fsync,fdatasync"
)
LINE = re.compile(r"(?P<thread>\d+) +(?P<name>\w+)\((?P<given>.*)\) += (?P<result>-?\d+|\?)")
STOPPED = re.compile(r"\w\((.*)\) += (?:(\?)|-1 .*\(INJECTED\))")  # strace aligns the results
UNFINISHED = " <unfinished ...>"
OPENED_TO_CHANGE = ("O_CREAT", "O_TRUNC")
NOT_A_DISK = re.compile(r"\d+<(?!/)|\d+</(?:dev|proc|sys)/")  # pipes, sockets, terminals
ANY_TRACER = (0x59616D61, ctypes.c_ulong(-1))  # PR_SET_PTRACER, for a system that allows parents only


@dataclass(frozen=True)
class Call:
    """One system call that changes the disk.

    Attributes
    ----------
    name : str
        Of the call.
    number : int
        Which of the calls of that name it is, counted from 1; calls that change nothing count too.
    given : str
        Its arguments, without what differs from run to run.
    """

    name: str
    number: int
    given: str

    def __str__(self) -> str:
        return f"{self.name} {self.number}: {self.given}"


@dataclass(frozen=True)
class Ended:
    """How a run ended.

    Attributes
    ----------
    killed : bool
    status : int
        0 when the work came to its end, 1 when it raised an error.
    text : str
        What the work returned, or the traceback of its error.
    """

    killed: bool
    status: int
    text: str


class StrayError(AssertionError):
    """The run did not come by the call at which it should have been stopped."""


def missing() -> str:
    """Return why nothing can be interrupted on this machine; nothing when it can."""
    if shutil.which("strace") is None:
        return "strace is not installed"
    try:
        calls = changing_calls(lambda: None)
    except (StrayError, OSError) as error:
        return f"strace cannot follow a process: {error}"
    return "" if calls == () else f"calls of nothing: {calls}"


def changing_calls(work: Callable[[], object]) -> tuple[Call, ...]:
    """Run the work to its end; return its calls that change the disk, in order.

    Raises
    ------
    StrayError
        When the work fails, or another of its threads or processes changes the disk.
    """
    with TemporaryDirectory() as folder:
        log = Path(folder, "log")
        ended, child = _traced(work, log, ["-f", "-e", f"trace={CHANGING}"])
        if ended.status or ended.killed:
            raise StrayError(f"the work failed without any interruption: {ended.text}")
        lines = log.read_text("utf-8", "replace").splitlines()
    counts: Counter[str] = Counter()
    found = []
    for line in _joined(lines):
        match = LINE.match(line)
        if match is None:
            continue
        own = int(match["thread"]) == child
        counts[match["name"]] += own
        if not _changes(match):
            continue
        if not own:
            raise StrayError(f"another process changes the disk: {line}")
        found.append(Call(match["name"], counts[match["name"]], _steady(match["given"])))
    return tuple(found)


def run(work: Callable[[], object], at: Call | None = None, fault: str = "KILL") -> Ended:
    """Run the work, and stop it as it enters a call.

    Parameters
    ----------
    work : callable
        What it returns is handed on as text.
    at : Call, optional
        Where to stop; nowhere when left out.
    fault : str
        ``"KILL"``, or the name of an error that the call then ends with, such as ``"ENOSPC"``.

    Raises
    ------
    StrayError
        When the run does not come by this call.
    """
    with TemporaryDirectory() as folder:
        log = Path(folder, "log")
        if at is None:
            return _traced(work, log, ["-e", "trace=none"])[0]
        what = "signal=KILL" if fault == "KILL" else f"error={fault}"
        inject = f"inject={at.name}:{what}:when={at.number}"
        ended, _ = _traced(work, log, ["-e", f"trace={at.name}", "-e", inject])
        lines = log.read_text("utf-8", "replace").splitlines()
    met = [
        match for line in lines if (match := STOPPED.search(line)) and (fault == "KILL") == (match[2] == "?")
    ]
    if fault == "KILL" and not ended.killed:
        raise StrayError(f"not killed at {at}: {ended.text}")
    if len(met) != 1 or _steady(met[0][1]) != at.given:
        raise StrayError(f"stopped elsewhere than at {at}: {[match[0] for match in met]}")
    return ended


def sample(calls: Sequence[Call], count: int) -> tuple[Call, ...]:
    """Return so many of the calls, spread evenly, with the first and the last."""
    if count >= len(calls):
        return tuple(calls)
    return tuple(calls[round(step * (len(calls) - 1) / (count - 1))] for step in range(count))


def _joined(lines: Sequence[str]) -> list[str]:
    """Put the two halves of a line together that strace wrote in two when another process called."""
    found: list[str] = []
    begun: dict[str, int] = {}
    for line in lines:
        thread = line.partition(" ")[0]
        if line.endswith(UNFINISHED):
            begun[thread] = len(found)
            found.append(line.removesuffix(UNFINISHED))
        elif " resumed>" in line and thread in begun:
            found[begun.pop(thread)] += line.partition(" resumed>")[2]
        else:
            found.append(line)
    return found


def _changes(match: re.Match[str]) -> bool:
    if match["result"].startswith("-"):
        return False
    if match["name"] in ("open", "openat"):
        return any(word in match["given"] for word in OPENED_TO_CHANGE)
    return NOT_A_DISK.match(match["given"]) is None


def _steady(given: str) -> str:
    """Arguments without numbers of open files, sizes, and the random part of temporary names."""
    shown = re.sub(r" <unfinished \.\.\.>| => \[\d+\]", "", given)
    shown = re.sub(r"\d+<", "<", shown)
    shown = re.sub(r"(?<=[./])[a-z0-9_]{8}(?=[./>\"]|$)", "*", shown)
    return re.sub(r", \d+$", "", shown).strip()


def _traced(work: Callable[[], object], log: Path, options: list[str]) -> tuple[Ended, int]:
    """Do the work in a child that strace follows; return how it ended, and its number."""
    gate, answer = os.pipe(), os.pipe()
    child = os.fork()
    if child == 0:
        _in_the_child(work, gate, answer)
    os.close(gate[0])
    os.close(answer[1])
    command = ["strace", "-y", "-s", "0", "-o", str(log), *options, "-p", str(child)]
    tracer = subprocess.Popen(command, stderr=subprocess.PIPE, text=True)
    assert tracer.stderr is not None
    told = tracer.stderr.readline()
    if "attached" not in told:
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        tracer.wait()
        raise StrayError(told.strip())
    os.write(gate[1], b"go")
    os.close(gate[1])
    with os.fdopen(answer[0], "rb") as stream:
        said = stream.read()
    _, status = os.waitpid(child, 0)
    tracer.communicate()
    if os.WIFSIGNALED(status):
        return Ended(True, -os.WTERMSIG(status), ""), child
    code, text = json.loads(said)
    return Ended(False, code, text), child


def _in_the_child(work: Callable[[], object], gate: tuple[int, int], answer: tuple[int, int]) -> None:
    """Wait until strace follows, do the work, hand on what it returned."""
    try:
        ctypes.CDLL(None).prctl(*ANY_TRACER)
        os.close(gate[1])
        os.read(gate[0], 2)
        sys.dont_write_bytecode = True
        try:
            code, text = 0, str(work())
        except BaseException:
            code, text = 1, traceback.format_exc()
        os.write(answer[1], json.dumps([code, text]).encode())
        os.close(answer[1])
    finally:
        os._exit(0)
