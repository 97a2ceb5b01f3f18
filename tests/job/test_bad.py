"""Faulty job files, each with its whole message beside it."""

from __future__ import annotations

from pathlib import Path

import pytest

from toebox.errors import ExitCode, FaultyInput
from toebox.job import load

BAD = Path(__file__).parent.parent / "bad"
FILES = sorted(BAD.glob("*.toml"))


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_whole_message(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(BAD)
    with pytest.raises(FaultyInput, match="wanted: ") as raised:
        load(path.name)
    assert f"{raised.value}\n" == path.with_suffix(".txt").read_text(encoding="utf-8")
    assert raised.value.exit_code == ExitCode.FAULTY_INPUT


def test_every_message_has_its_file() -> None:
    assert len(FILES) > 15
    assert {p.stem for p in BAD.glob("*.txt")} == {p.stem for p in FILES}


def test_messages_never_carry_control_characters() -> None:
    for path in BAD.glob("*.txt"):
        for line in path.read_text(encoding="utf-8").splitlines():
            assert line.isprintable(), path.name
            assert len(line) < 400, path.name
