"""Files written whole or not at all."""

from __future__ import annotations

import errno
import os
import stat
from contextlib import suppress
from pathlib import Path

from toebox.errors import CannotWrite

_REASONS = {
    errno.ENOENT: "there is no such folder",
    errno.ENOTDIR: "part of the path is a file, not a folder",
    errno.EISDIR: "that is a folder, not a file",
    errno.EACCES: "no permission, or another program holds the file open",
    errno.EPERM: "no permission",
    errno.EROFS: "the disk can only be read",
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "the disk quota is used up",
    errno.EFBIG: "the file would be too large",
    errno.ENAMETOOLONG: "the name is too long",
    errno.ELOOP: "its links run in a circle",
    errno.EEXIST: "it exists already",
    errno.EBADF: "it is closed",
    errno.EIO: "the disk reports an error",
}


def reason(error: OSError | ValueError) -> str:
    """Return in plain words why the operating system refused."""
    number = getattr(error, "errno", None)
    if number in _REASONS:
        return _REASONS[number]
    return (getattr(error, "strerror", None) or str(error)).lower()


def write_whole(path: str | os.PathLike[str], data: bytes) -> None:
    """Write a file so that whoever looks finds the old one or the new one, never a part.

    The bytes go to a new file in the same folder, to the disk, and then take the place of the
    old file. A link stays a link; permissions (and, where allowed, the owner) stay as they were.
    Something that is not a file, such as a pipe, is written to directly.

    Parameters
    ----------
    path : str or os.PathLike
        Where to write.
    data : bytes
        The whole content.

    Raises
    ------
    CannotWrite
        Where it could not be written; what was there before is still there.
    """
    given = os.fspath(path)
    try:
        old = _status(given)
        if old is not None and stat.S_ISDIR(old.st_mode):  # Windows: "no permission"
            raise OSError(errno.EISDIR, "")
        if old is None or stat.S_ISREG(old.st_mode):
            _replace(_end_of_links(given), data, old)
        else:
            _write_into(given, data)
    except (OSError, ValueError) as error:
        raise CannotWrite(f"cannot write {given}: {reason(error)}") from None


def _status(path: str) -> os.stat_result | None:
    """Return what stands at the path, links followed; None where nothing does."""
    try:
        return Path(path).stat()
    except FileNotFoundError:
        return None


def _end_of_links(path: str) -> Path:
    """Return the file that the path means in the end."""
    return Path(os.path.realpath(path))


def _replace(target: Path, data: bytes, old: os.stat_result | None) -> None:
    """Write a new file beside the target and put it in the target's place."""
    if old is not None and not os.access(target, os.W_OK):
        raise PermissionError(errno.EPERM, "")
    fresh = target.parent / f".toebox-{os.urandom(6).hex()}.part"
    try:
        with fresh.open("xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if old is not None:
            _keep_rights(fresh, old)
        fresh.replace(target)
    except BaseException:
        with suppress(OSError):
            fresh.unlink()
        raise
    _settle(target.parent)


def _keep_rights(fresh: Path, old: os.stat_result) -> None:
    """Give the new file the owner (where allowed) and the permissions of the old one."""
    if hasattr(os, "chown"):
        with suppress(OSError):
            os.chown(fresh, old.st_uid, old.st_gid)
    fresh.chmod(stat.S_IMODE(old.st_mode))


def _settle(folder: Path) -> None:
    """Put the folder's new entry on the disk too, where the system can."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _write_into(path: str, data: bytes) -> None:
    """Write into something that is no ordinary file: a device or a pipe."""
    with Path(path).open("wb") as file:
        file.write(data)
