"""Tell whether a folder, or a file in it, can have been written by this user alone.

What is kept holds byte code, so a file another user could have placed would run as this one. Every
step of the path counts: who can write to a folder can put another one, or a link, in its place.
"""

from __future__ import annotations

import os
import stat
from pathlib import Path

WRITABLE_BY_OTHERS = stat.S_IWGRP | stat.S_IWOTH
MOST_LINKS = 20
ROOT = 0

HAS_OWNERS = hasattr(os, "getuid")
"""Whether files have owners and modes here; where not, the user's own profile is trusted."""


def trusted_folder(folder: Path) -> bool:
    """Tell whether a folder that is there, its base and every step to it are this user's alone.

    The folder is no link, belongs to the user and is closed to others for writing; so is its base.
    Further up, root's and the user's own are trusted, and a folder open to all only where nobody
    may replace another's entry (the sticky bit, as on /tmp).
    """
    if not HAS_OWNERS:
        return folder.is_dir()
    try:
        state = os.lstat(folder)
        return (
            stat.S_ISDIR(state.st_mode)
            and state.st_uid == os.getuid()
            and not state.st_mode & WRITABLE_BY_OTHERS
            and _closed(os.stat(folder.parent))
            and _steps_trusted(os.path.abspath(folder), MOST_LINKS)
        )
    except OSError:
        return False


def trusted_file(state: os.stat_result) -> bool:
    """Tell whether an open file is a plain one of this user, under one name, closed to others."""
    if not stat.S_ISREG(state.st_mode):
        return False
    if not HAS_OWNERS:
        return True
    return (
        state.st_uid == os.getuid()
        and state.st_nlink == 1
        and not state.st_mode & WRITABLE_BY_OTHERS
    )


def _steps_trusted(path: str, links_left: int) -> bool:
    """Tell whether nobody else can put another thing in the place of a step of the path."""
    here = os.sep
    steps = [step for step in path.split(os.sep) if step]
    for number, step in enumerate(steps):
        if not _keeps_entries(os.lstat(here)):
            return False
        here = os.path.join(here, step)
        state = os.lstat(here)
        if state.st_uid not in (ROOT, os.getuid()):
            return False
        if stat.S_ISLNK(state.st_mode):
            rest = _followed(here, os.readlink(here))
            if rest is None or not links_left:
                return False
            return _steps_trusted(os.path.join(rest, *steps[number + 1 :]), links_left - 1)
    return True


def _followed(link: str, target: str) -> str | None:
    """Return where a link leads, without `..`; None where one comes after what may be a link."""
    down = [step for step in target.split(os.sep) if step not in ("", os.curdir)]
    while down and down[0] == os.pardir:
        down.pop(0)
    if os.pardir in down:
        return None
    return os.path.normpath(os.path.join(os.path.dirname(link), target))


def _keeps_entries(state: os.stat_result) -> bool:
    """Tell whether what this user or root has in a folder stays there."""
    return state.st_uid in (ROOT, os.getuid()) and (
        _closed(state) or bool(state.st_mode & stat.S_ISVTX)
    )


def _closed(state: os.stat_result) -> bool:
    """Tell whether none but the owner may write.

    A group of the user's own number holds, by custom, that user alone.
    """
    own_group = state.st_gid == os.getgid() == os.getuid()
    open_to = stat.S_IWOTH if own_group else WRITABLE_BY_OTHERS
    return not state.st_mode & open_to
