"""The clock that never goes back: 48 bits of milliseconds, 16 bits of counter.

A hybrid logical clock (Kulkarni et al., 2014, "Logical Physical Clocks"): the wall clock where it runs ahead, else one
more than the last stamp seen.
"""

import sys
import time
from collections.abc import Callable
from datetime import UTC, datetime
from functools import cache, lru_cache

DAY = 86_400_000
"""Milliseconds."""

_UNKNOWN = 16_000_000  # microseconds: the kernel's largest error, which it reports when nothing disciplines the clock


def tick(milliseconds: int, last: int) -> int:
    """The stamp after `last`, with the wall clock at `milliseconds` since 1970."""
    return max(milliseconds << 16, last + 1)


def milliseconds(stamp: int) -> int:
    """The wall clock in a stamp."""
    return stamp >> 16


def told(nanoseconds: int) -> str:
    """A moment as people read it, with the offset of the place: 2026-03-14T16:55:03+01:00."""
    return _second(nanoseconds // 1_000_000_000)


@lru_cache(maxsize=1)
def _second(seconds: int) -> str:
    return datetime.fromtimestamp(seconds, tz=UTC).astimezone().isoformat()


def synchronised() -> bool:
    """Whether the kernel says that something keeps the wall clock right. False where nobody can say."""
    return _synchronised_at(int(time.monotonic()))


@lru_cache(maxsize=1)
def _synchronised_at(_second: int) -> bool:
    return 0 <= _largest_error() < _UNKNOWN


def _largest_error() -> int:
    """Microseconds, from adjtimex(2); -1 where there is no such call."""
    call = _adjtimex()
    if call is None:
        return -1
    from ctypes import c_long  # not before something is said: it is a good part of the start

    answer = (c_long * 64)()  # struct timex, 208 bytes: modes, offset, freq, maxerror, ...
    return -1 if call(answer) < 0 else answer[3]


@cache
def _adjtimex() -> Callable[..., int] | None:
    if sys.platform != "linux":
        return None
    from ctypes import CDLL

    return getattr(CDLL(None, use_errno=True), "adjtimex", None)
