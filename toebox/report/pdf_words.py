"""Running text on a page."""

from __future__ import annotations

from typing import Any

from reportlab.platypus import Paragraph


class Words(Paragraph):  # type: ignore[misc]  # the PDF library has no types
    """A paragraph that is broken into lines once, however often it is asked how tall it is."""

    _broken: Any = None

    def wrap(self, across: float, room: float) -> tuple[float, float]:
        """Return its size in so much room [pt]."""
        lines = getattr(self, "blPara", None)  # the PDF library puts others in when it splits
        if lines is None or lines is not self._broken or across != self.width:
            super().wrap(across, room)
            self._broken = self.blPara
        return self.width, self.height
