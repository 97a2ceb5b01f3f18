"""The program on a pseudo-terminal, as a person has it in front of them."""

from __future__ import annotations

import os
import re
import select
import signal
import subprocess
import sys
import time
from pathlib import Path

from tests.cli.running import ROOT


def usual_signals() -> None:
    """Listen to Ctrl-C and to the end of the terminal, also where the tests' caller does not."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    signal.signal(signal.SIGHUP, signal.SIG_DFL)


class Terminal:
    """A process whose standard streams are a terminal of its own; the keyboard is `type`."""

    def __init__(
        self,
        *words: object,
        columns: int = 80,
        env: dict[str, str] | None = None,
        code: str | None = None,
        keep: dict[str, object] | None = None,
        program: list[str] | None = None,
    ) -> None:
        import fcntl
        import pty
        import struct
        import termios

        self.master, slave = pty.openpty()
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
        start = [sys.executable, *(["-m", "toebox"] if code is None else ["-c", code])]

        def own_terminal() -> None:
            usual_signals()
            os.setsid()
            fcntl.ioctl(0, termios.TIOCSCTTY, 0)

        environment = {k: v for k, v in os.environ.items() if k not in ("COLUMNS", "LINES")}
        self.process = subprocess.Popen(
            [*(program or start), *(str(word) for word in words)],
            preexec_fn=own_terminal,
            close_fds=True,
            env={
                **environment, "PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8",
                "TERM": "xterm", **(env or {}),
            },
            **{"stdin": slave, "stdout": slave, "stderr": slave, **(keep or {})},
        )  # fmt: skip
        os.close(slave)
        self.seen = ""

    def __enter__(self) -> Terminal:
        return self

    def __exit__(self, *_: object) -> None:
        if self.process.poll() is None:
            self.process.kill()
        self.process.wait()
        os.close(self.master)

    def expect(self, pattern: str, seconds: float = 60.0) -> str:
        """Wait until the screen shows a pattern beyond what was expected before; return it."""
        deadline = time.monotonic() + seconds
        while not (found := re.search(pattern, self.seen)):
            left = deadline - time.monotonic()
            assert left > 0, f"{pattern!r} did not come; the screen shows:\n{self.seen[-2000:]}"
            if not self._read(left):
                found = re.search(pattern, self.seen)
                assert found, f"{pattern!r} did not come before the end:\n{self.seen[-2000:]}"
                break
        shown, self.seen = self.seen[: found.end()], self.seen[found.end() :]
        return shown

    def type(self, keys: str | bytes) -> None:
        """Press keys; Ctrl-C is 3, Ctrl-D is 4 in ASCII."""
        os.write(self.master, keys.encode() if isinstance(keys, str) else keys)

    def end(self, seconds: float = 60.0) -> int:
        """Wait for the end; return the exit code."""
        deadline = time.monotonic() + seconds
        while self._read(max(0.0, deadline - time.monotonic())):
            pass
        return self.process.wait(max(1.0, deadline - time.monotonic()))

    def _read(self, seconds: float) -> bool:
        """Take up what the terminal shows; False at its end."""
        ready, _, _ = select.select([self.master], [], [], seconds)
        if not ready:
            return False
        try:
            data = os.read(self.master, 65536)
        except OSError:  # the other side is closed
            return False
        self.seen += data.decode("utf-8", "replace").replace("\r\n", "\n")
        return bool(data)


def whole(path: Path, *alternatives: str) -> str:
    """Return the text of a file, which must be one of the alternatives to the letter."""
    text = path.read_text("utf-8")
    assert text in alternatives
    return text
