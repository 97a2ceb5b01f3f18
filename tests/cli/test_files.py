"""Files are written whole or not at all."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from toebox.errors import CannotWrite, ExitCode
from toebox.report import files
from toebox.report.files import write_whole

posix = pytest.mark.skipif(os.name == "nt", reason="links, devices and modes of POSIX")
not_root = pytest.mark.skipif(
    hasattr(os, "geteuid") and os.geteuid() == 0, reason="root may write everywhere"
)


def test_a_new_file_holds_the_bytes_and_nothing_else_is_left(tmp_path: Path) -> None:
    write_whole(tmp_path / "a.pdf", b"whole")
    assert [(p.name, p.read_bytes()) for p in tmp_path.iterdir()] == [("a.pdf", b"whole")]


@posix
def test_a_new_file_gets_the_rights_of_any_new_file(tmp_path: Path) -> None:
    (tmp_path / "usual").write_bytes(b"")
    write_whole(tmp_path / "ours", b"")
    assert (tmp_path / "ours").stat().st_mode == (tmp_path / "usual").stat().st_mode


@posix
@pytest.mark.parametrize("mode", [0o600, 0o640, 0o755])
def test_an_old_file_keeps_its_rights(tmp_path: Path, mode: int) -> None:
    target = tmp_path / "a"
    target.write_bytes(b"old")
    target.chmod(mode)
    write_whole(target, b"new")
    assert target.read_bytes() == b"new"
    assert stat.S_IMODE(target.stat().st_mode) == mode


@posix
@pytest.mark.parametrize("there", [True, False])
def test_a_link_stays_a_link(tmp_path: Path, there: bool) -> None:
    (tmp_path / "far").mkdir()
    target = tmp_path / "far" / "target"
    if there:
        target.write_bytes(b"old")
    link = tmp_path / "link"
    link.symlink_to("far/target")
    write_whole(link, b"new")
    assert link.is_symlink()
    assert target.read_bytes() == b"new"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["far", "link"]


def test_without_owners_the_rights_are_kept_all_the_same(tmp_path, monkeypatch) -> None:
    monkeypatch.delattr(files.os, "chown", raising=False)
    (tmp_path / "a").write_bytes(b"old")
    (tmp_path / "a").chmod(0o600)
    write_whole(tmp_path / "a", b"new")
    assert (tmp_path / "a").read_bytes() == b"new"


@posix
def test_a_second_name_of_the_old_file_keeps_the_old_content(tmp_path: Path) -> None:
    """The old file is replaced, never overwritten in place."""
    target, other = tmp_path / "a", tmp_path / "b"
    target.write_bytes(b"old")
    os.link(target, other)
    write_whole(target, b"new")
    assert (target.read_bytes(), other.read_bytes()) == (b"new", b"old")


@posix
def test_a_device_is_written_to_and_stays_a_device() -> None:
    write_whole("/dev/null", b"gone")
    assert stat.S_ISCHR(Path("/dev/null").stat().st_mode)


def _in_missing_folder(folder: Path) -> tuple[Path, str]:
    return folder / "none" / "a.pdf", "there is no such folder"


def _folder(folder: Path) -> tuple[Path, str]:
    (folder / "sub").mkdir()
    return folder / "sub", "that is a folder, not a file"


def _under_a_file(folder: Path) -> tuple[Path, str]:
    (folder / "file").write_bytes(b"")
    return folder / "file" / "a.pdf", "part of the path is a file, not a folder"


def _long(folder: Path) -> tuple[Path, str]:
    return folder / ("n" * 300), "the name is too long"


def _circle(folder: Path) -> tuple[Path, str]:
    (folder / "one").symlink_to("two")
    (folder / "two").symlink_to("one")
    return folder / "one", "its links run in a circle"


def _full(folder: Path) -> tuple[Path, str]:
    return Path("/dev/full"), "the disk is full"


def _null(folder: Path) -> tuple[Path, str]:
    return folder / "a\0b", "embedded null"


@posix
@pytest.mark.parametrize(
    "case", [_in_missing_folder, _folder, _under_a_file, _long, _circle, _full, _null]
)
def test_what_cannot_be_written_says_why_and_leaves_nothing(tmp_path: Path, case) -> None:
    target, why = case(tmp_path)
    before = sorted(tmp_path.rglob("*"))
    with pytest.raises(CannotWrite, match=f"cannot write .*: {why}") as caught:
        write_whole(target, b"data")
    assert caught.value.exit_code == ExitCode.CANNOT_WRITE
    assert sorted(tmp_path.rglob("*")) == before


@posix
@not_root
def test_a_file_that_may_not_be_changed_is_not_changed(tmp_path: Path) -> None:
    target = tmp_path / "a"
    target.write_bytes(b"old")
    target.chmod(0o444)
    with pytest.raises(CannotWrite, match="no permission"):
        write_whole(target, b"new")
    assert target.read_bytes() == b"old"


def test_a_file_that_may_not_be_changed_is_asked_about(tmp_path, monkeypatch) -> None:
    """The same for everybody: the system is asked, and its no is taken."""
    target = tmp_path / "a"
    target.write_bytes(b"old")
    monkeypatch.setattr(files.os, "access", lambda path, mode: False)
    with pytest.raises(CannotWrite, match="no permission"):
        write_whole(target, b"new")
    assert target.read_bytes() == b"old"


@pytest.mark.parametrize("trouble", [OSError(28, "full"), KeyboardInterrupt()])
def test_trouble_half_way_leaves_the_old_file_alone(tmp_path, monkeypatch, trouble) -> None:
    target = tmp_path / "a"
    target.write_bytes(b"old")

    def fail(handle: int) -> None:
        raise trouble

    monkeypatch.setattr(files.os, "fsync", fail)
    with pytest.raises((CannotWrite, KeyboardInterrupt), match=r"the disk is full|^$"):
        write_whole(target, b"new")
    assert [(p.name, p.read_bytes()) for p in tmp_path.iterdir()] == [("a", b"old")]


def test_a_folder_is_told_as_one_on_systems_that_only_say_no(tmp_path, monkeypatch) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(files.Path, "open", refuse)
    with pytest.raises(CannotWrite, match="that is a folder, not a file"):
        write_whole(tmp_path, b"data")


def test_an_unknown_reason_is_told_in_the_systems_words() -> None:
    assert files.reason(OSError(9999, "Strange Trouble")) == "strange trouble"
    assert files.reason(ValueError("Odd")) == "odd"
