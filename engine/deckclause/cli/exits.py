"""Every way out of the command line: whatever happens, a clear line and a status that is true.

No traceback reaches a user, and no status says "complies" or "does not comply" of an answer that
was not given whole.
"""

from __future__ import annotations

import codecs
import io
import os
import sys
from collections.abc import Callable
from contextlib import suppress
from typing import Any, NoReturn

import deckclause
from deckclause.rulesets.problems import InputError, OutputError, Stopped

BAD_INPUT = 2
CRASHED = 70
"""A fault of the program itself. With the next one, the numbers BSD's sysexits.h gives these."""
NOT_WRITTEN = 74
SIGNALLED, INTERRUPTED, READER_GONE = 128, 130, 141
"""128 and the number of the signal, as shells tell it: 2 is SIGINT, 13 SIGPIPE."""
TRACEBACK = "DECKCLAUSE_TRACEBACK"
"""Set to anything, it shows where a fault of the program itself happened."""


class _OutputLost(Exception):
    """Standard output took no more; carries why."""

    def __init__(self, fault: OSError) -> None:
        super().__init__(str(fault))
        self.fault = fault


class _Shown(io.FileIO):
    """Standard output: a fault of it is told from every other fault of a file."""

    def write(self, data: Any, /) -> int:
        try:
            return super().write(data) or 0
        except OSError as fault:
            raise _OutputLost(fault) from None


class _Aside(io.FileIO):
    """The error stream: what cannot be said there is not said, and stops nothing."""

    def write(self, data: Any, /) -> int:
        try:
            return super().write(data) or 0
        except OSError:
            return len(data)


def leave_with(work: Callable[[], int]) -> NoReturn:
    """Run a command in this process and end the process with its status."""
    try:
        _prepare()
        status = told(work)
    except KeyboardInterrupt:  # a second one, while the first was being told
        status = INTERRUPTED
    _let_go(status)


def _let_go(status: int) -> NoReturn:
    """End the process, all being flushed, without taking it apart object by object.

    That takes longer than many a command, and a library's threads could keep it from ending.
    """
    with suppress(OSError, ValueError):
        sys.stderr.flush()
    os._exit(status)


def told(work: Callable[[], int]) -> int:
    """Run `work` and show all it printed; return its status, or the status of what stopped it."""
    try:
        status = work()
        sys.stdout.flush()
        return status
    except SystemExit as leaving:
        return _left(leaving)
    except _OutputLost as lost:
        return _lost(lost.fault)
    except BrokenPipeError as fault:
        return _lost(fault)
    except InputError as fault:
        return say_problems(fault)
    except KeyboardInterrupt:
        return _ended("interrupted; what is shown above is not whole", INTERRUPTED)
    except Stopped as stopped:
        return _ended("told to stop; nothing was left half written", SIGNALLED + stopped.number)
    except OSError as fault:
        if fault.filename is None:
            return _crashed(fault)
        return _ended(f"{fault.filename}: cannot be used ({fault.strerror or fault})", BAD_INPUT)
    except BaseException as fault:
        return _crashed(fault)


def say_problems(fault: InputError) -> int:
    """Say every problem, a line each; return the status."""
    lines = [f"deckclause: {problem}" for problem in fault.problems]
    return _ended(
        "\n".join(lines), NOT_WRITTEN if isinstance(fault, OutputError) else BAD_INPUT, ""
    )


def _left(leaving: SystemExit) -> int:
    """Return the status of a command that ended itself, as wrong options do."""
    if isinstance(leaving.code, str):
        return _ended(leaving.code, BAD_INPUT)
    status = leaving.code or 0
    try:
        sys.stdout.flush()
    except _OutputLost as lost:
        return _lost(lost.fault)
    return status


def _lost(fault: OSError) -> int:
    sys.stdout = io.StringIO()  # what waits to be written is given up, here and at the end
    if isinstance(fault, BrokenPipeError):
        return READER_GONE
    words = fault.strerror or str(fault)
    return _ended(
        f"the output cannot be written ({words}); what was written of it is not whole", NOT_WRITTEN
    )


def _ended(words: str, status: int, head: str = "deckclause: ") -> int:
    with suppress(OSError, ValueError, _OutputLost):
        sys.stdout.flush()  # what was shown before comes before the words on it
    print(f"{head}{words}", file=sys.stderr, flush=True)
    return status


def _crashed(fault: BaseException) -> int:
    """Say that the program is at fault, where, and how to report it."""
    if os.environ.get(TRACEBACK):
        import traceback

        traceback.print_exception(fault)
    python = ".".join(map(str, sys.version_info[:3]))
    seen = f"run it again with {TRACEBACK}=1 to see where"
    if os.environ.get(TRACEBACK):
        seen = "the lines above say where"
    return _ended(
        f"stopped by a fault of its own, not of your input: {_summary(fault)}\n"
        "Rely on nothing shown above. Please report it to those who look after deckclause, with the\n"
        f"command and its files as far as they may be shown; {seen}.\n"
        f"deckclause {deckclause.__version__}, Python {python} on {sys.platform}",
        CRASHED,
    )


def _summary(fault: BaseException) -> str:
    """Name a fault and the place of ours it came from, in one line."""
    if isinstance(fault, MemoryError):
        return "there is not enough memory"
    words = " ".join(str(fault).split())[:200]
    package = os.path.join(os.path.dirname(deckclause.__file__), "")
    here = ""
    step = fault.__traceback__
    while step is not None:
        file = step.tb_frame.f_code.co_filename
        if file.startswith(package):
            here = f" ({file.removeprefix(package)}, line {step.tb_lineno})"
        step = step.tb_next
    return f"{type(fault).__name__}{': ' if words else ''}{words}{here}"


def _prepare() -> None:
    """Make the streams safe to write to."""
    if not sys.warnoptions:
        import warnings

        warnings.simplefilter("ignore")  # libraries' words for programmers are no words for users
    if os.name != "posix":
        return
    _fill_standard_streams()
    sys.stdout = _stream(_Shown, 1, sys.__stdout__, "deckclause-escape")
    sys.stderr = _stream(_Aside, 2, sys.__stderr__, "backslashreplace")


def _fill_standard_streams() -> None:
    """Put something under 0, 1 and 2 where they were closed, so that no file of ours lands there."""
    while True:
        handle = os.open(os.devnull, os.O_RDONLY)
        if handle > 2:
            os.close(handle)
            return


def _stream(kind: type[io.FileIO], handle: int, was: Any, errors: str) -> io.TextIOWrapper:
    """Return a text stream on an open file, written as the one Python made would be."""
    codecs.register_error("deckclause-escape", _escaped)
    return io.TextIOWrapper(
        io.BufferedWriter(kind(handle, "wb", closefd=False)),
        encoding=getattr(was, "encoding", None) or "utf-8",
        errors=errors,
        line_buffering=bool(getattr(was, "line_buffering", True)),
    )


def _escaped(fault: UnicodeError) -> tuple[str, int]:
    """Write a letter the output cannot hold by its number, in a way that JSON reads back."""
    assert isinstance(fault, UnicodeEncodeError)
    letters = fault.object[fault.start : fault.end]
    units = letters.encode("utf-16-be", "surrogatepass")
    pairs = (units[i : i + 2] for i in range(0, len(units), 2))
    return "".join(f"\\u{pair.hex()}" for pair in pairs), fault.end
