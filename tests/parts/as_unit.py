"""`python as_unit.py UNIT COMMAND ...`: run a command with the system calls that a unit lets through, and no others."""

from __future__ import annotations

import ctypes
import ctypes.util
import errno
import os
import subprocess
import sys
from pathlib import Path

_KILL, _ALLOW, _ERRNO = 0x80000000, 0x7FFF0000, 0x00050000  # SCMP_ACT_ of seccomp.h


def settings(unit: Path) -> dict[str, str]:
    """What a unit says, by name; of a name said several times the last."""
    lines = unit.read_text(encoding="utf-8").splitlines()
    return dict(line.split("=", 1) for line in lines if "=" in line and not line.startswith("#"))


def calls(named: str) -> set[str]:
    """The system calls in a list of names and @groups."""
    found = set()
    for name in named.split():
        if name.startswith("@"):
            said = subprocess.run(
                ["systemd-analyze", "syscall-filter", name], capture_output=True, text=True, check=True
            )
            inside = [line.strip() for line in said.stdout.splitlines()[1:]]
            found |= calls(" ".join(line for line in inside if line and not line.startswith("#")))
        else:
            found.add(name)
    return found


def confine(unit: Path) -> None:
    """This process and its children from now on. Raises OSError where the kernel does not do it."""
    said = settings(unit)
    otherwise = _ERRNO | getattr(errno, said["SystemCallErrorNumber"]) if "SystemCallErrorNumber" in said else _KILL
    filters = [(otherwise, _ALLOW, calls(said["SystemCallFilter"]))]
    if said.get("ProtectClock") == "yes":
        filters.append((_ALLOW, _ERRNO | errno.EPERM, calls("@clock")))
    library = ctypes.CDLL(ctypes.util.find_library("seccomp"), use_errno=True)
    library.seccomp_init.restype = ctypes.c_void_p
    for default, action, named in filters:
        context = ctypes.c_void_p(library.seccomp_init(ctypes.c_uint32(default)))
        for name in named:
            number = library.seccomp_syscall_resolve_name(name.encode())
            if number >= 0:
                library.seccomp_rule_add_array(context, ctypes.c_uint32(action), number, 0, None)
        failed = library.seccomp_load(context)
        if failed:
            raise OSError(-failed, os.strerror(-failed))


if __name__ == "__main__":
    confine(Path(sys.argv[1]))
    os.execv(sys.argv[2], sys.argv[2:])
