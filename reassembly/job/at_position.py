"""Which position of a joint is on display at one bench, and how it goes on from there."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from reassembly.job.joint import Joint


class AtPosition:
    """A position of one stage; None for a stage of which nobody said how many there are."""

    def __init__(self) -> None:
        self.at: tuple[int, int | None] | None = None
        """Stage and position; None before the joint was shown."""
        self.picked = False
        """Whether somebody chose it out of turn."""
        self._typed = ""

    @property
    def position(self) -> int | None:
        return self.at[1] if self.at else None

    def move(self, found: Joint) -> bool:
        """To the position that is next in order; whether that is in another stage."""
        other = self.at is not None and self.at[0] != found.stage.number
        self.at = found.stage.number, found.left[0] if found.left else None
        self.picked, self._typed = False, ""
        return other

    def passed(self, found: Joint) -> bool:
        """Whether what is on display was tightened meanwhile at another terminal."""
        if self.at is None or found.finished or self.at[0] != found.stage.number:
            return True
        return self.at[1] in found.done.positions and not self.picked

    def go_along(self, by: int, found: Joint) -> None:
        """Along the order, over what is not yet tight."""
        if self.at and found.left:
            at = found.left.index(self.at[1]) if self.at[1] in found.left else -1 if by > 0 else 0
            self._pick(found, found.left[(at + by) % len(found.left)])

    def go_by_digit(self, digit: int, found: Joint) -> bool:
        """To the position that is typed, digit by digit; False where there is none."""
        for typed in (f"{self._typed}{digit}", str(digit)):
            if 1 <= int(typed) <= found.stage.positions:
                self._pick(found, int(typed))
                self._typed = typed
                return True
        return False

    def _pick(self, found: Joint, position: int) -> None:
        self.at, self.picked, self._typed = (found.stage.number, position), True, ""
