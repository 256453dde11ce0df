"""How much of a sock is done, as a bar of cells."""

from __future__ import annotations

from tracker.ui.canvas import Canvas
from tracker.ui.palette import Paint
from tracker.units import whole

DONE, TODO = Paint("on-tape", "tape"), Paint("text", "todo")


def put_bar(canvas: Canvas, x: int, y: int, room: int, share: float) -> int:
    """A bar of `room` cells with a share of it, 0 to 1, done; returns how many cells that are."""
    done = filled(share, room)
    canvas.fill(x, y, room, 1, TODO)
    canvas.fill(x, y, done, 1, DONE)
    return done


def filled(share: float, room: int) -> int:
    """Cells of a bar at a share: none only at 0, all only at 1."""
    if not 0 < share < 1:
        return room if share >= 1 else 0
    return max(1, min(whole(share * room), room - 1))
