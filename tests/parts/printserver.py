"""A print server of our own: a real cupsd on a loopback port, and printers that tests can switch off."""

import os
import pwd
import re
import shutil
import socket
import struct
import subprocess
import tempfile
import threading
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import pytest
from PIL import Image

from labels.printer import Spooler

CUPSD = shutil.which("cupsd", path=f"{os.environ.get('PATH', '')}:/usr/sbin")
PROGRAMS = ("lp", "cancel", "lpadmin", "ipptool")
SERVER_BIN = next((path for path in map(Path, ("/usr/lib/cups", "/usr/libexec/cups")) if path.exists()), Path("/"))

FILES = """
ServerRoot {folder}/etc
ServerBin {folder}/bin
RequestRoot {folder}/spool
CacheDir {folder}/cache
StateDir {folder}/state
TempDir {folder}/tmp
AccessLog {folder}/log/access
ErrorLog {folder}/log/error
PageLog {folder}/log/page
"""
SERVER = """
Listen 127.0.0.1:{port}
LogLevel info
DefaultAuthType None
WebInterface No
Browsing No
JobRetryInterval 1
<Location />
Order allow,deny
Allow all
</Location>
<Policy default>
<Limit All>
Order allow,deny
Allow all
</Limit>
</Policy>
"""

# A printer that says what is wrong with it, as a label printer on USB does. `fault` holds the state reason it reports
# until the file is gone; "stop" makes its queue stop.
BENCH_PRINTER = """#!/bin/sh
[ $# -eq 0 ] && {{ echo 'direct bench "Unknown" "Printer of the tests"'; exit 0; }}
while fault=$(cat {folder}/fault 2>/dev/null); do
    [ "$fault" = stop ] && exit 4
    echo "STATE: +$fault" >&2
    sleep 0.05
done
[ -n "$fault" ] || echo "STATE: -media-empty-error,cover-open-error,media-jam-error,offline-report" >&2
cat > {folder}/out/$1.part && mv {folder}/out/$1.part {folder}/out/$1
"""


def needed() -> None:
    """Skip where there is no CUPS; where everything should be there, its absence is a failure."""
    missing = [name for name in PROGRAMS if shutil.which(name) is None] + ([] if CUPSD else ["cupsd"])
    if missing:
        words = f"{', '.join(missing)} missing: install cups, cups-client, cups-filters and cups-ipp-utils"
        if os.environ.get("CI"):
            pytest.fail(words)
        pytest.skip(words)


def until(holds: Callable[[], object], seconds: float = 20) -> None:
    """Wait for a condition; fail when it does not come true."""
    patient_until = time.monotonic() + seconds
    while not holds():
        assert time.monotonic() < patient_until, f"not within {seconds} s"
        time.sleep(0.02)


class PrintServer:
    """cupsd, its folder and its queues. Starting it again keeps queues and jobs, as a real one does."""

    def __init__(self) -> None:
        self.folder = Path(tempfile.mkdtemp(prefix="cups"))
        self.folder.chmod(0o755)  # its filters run as somebody else
        for name in ("etc", "bin", "spool", "cache", "state", "tmp", "log", "out"):
            (self.folder / name).mkdir()
        (self.folder / "out").chmod(0o777)
        self._own_server_bin()
        with socket.create_server(("127.0.0.1", 0)) as free:
            self.port = free.getsockname()[1]
        who = ""
        if os.getuid() == 0:  # then cupsd insists on somebody else for its filters
            user = pwd.getpwnam("lp")
            who = f"User lp\nGroup {user.pw_gid}\nSystemGroup root\n"
        (self.folder / "etc/cups-files.conf").write_text(FILES.format(folder=self.folder) + who)
        (self.folder / "etc/cupsd.conf").write_text(SERVER.format(port=self.port))
        self.process: subprocess.Popen[bytes] | None = None

    @property
    def address(self) -> str:
        return f"127.0.0.1:{self.port}"

    def _own_server_bin(self) -> None:
        """The programs of the system, and one more printer."""
        for path in SERVER_BIN.iterdir():
            if path.name != "backend":
                (self.folder / "bin" / path.name).symlink_to(path)
        backends = self.folder / "bin/backend"
        backends.mkdir()
        (backends / "socket").symlink_to(SERVER_BIN / "backend/socket")
        (backends / "bench").write_text(BENCH_PRINTER.format(folder=self.folder))
        (backends / "bench").chmod(0o755)

    def start(self) -> None:
        assert CUPSD is not None
        etc = self.folder / "etc"
        self.process = subprocess.Popen(
            [CUPSD, "-f", "-c", etc / "cupsd.conf", "-s", etc / "cups-files.conf"], stderr=subprocess.DEVNULL
        )
        until(self._answers)

    def _answers(self) -> bool:
        assert self.process is not None
        assert self.process.poll() is None, (self.folder / "log/error").read_text()
        with suppress(OSError), socket.create_connection(("127.0.0.1", self.port), timeout=1):
            return True
        return False

    def stop(self) -> None:
        if self.process is not None:
            self.process.terminate()
            self.process.wait()
            self.process = None

    def remove(self) -> None:
        self.stop()
        shutil.rmtree(self.folder)

    def run(self, *words: str) -> None:
        environment = os.environ | {"CUPS_SERVER": self.address, "LC_ALL": "C"}
        done = subprocess.run(words, env=environment, capture_output=True, text=True, check=False)
        assert done.returncode == 0, f"{words}: {done.stderr}"

    def add_queue(self, name: str, device: str, dpi: int) -> None:
        self.run("lpadmin", "-p", name, "-E", "-v", device, "-m", "drv:///sample.drv/zebra.ppd",
                 "-o", f"Resolution={dpi}dpi", "-o", "printer-error-policy=retry-job")  # fmt: skip

    def set_fault(self, reason: str) -> None:
        (self.folder / "fault.new").write_text(reason)
        (self.folder / "fault.new").rename(self.folder / "fault")

    def mend(self) -> None:
        (self.folder / "fault").unlink(missing_ok=True)

    def came_out(self) -> list[bytes]:
        """What the bench printer has printed, oldest first."""
        done = [path for path in (self.folder / "out").iterdir() if path.suffix != ".part"]
        return [path.read_bytes() for path in sorted(done, key=lambda path: int(path.name))]


class Sink:
    """A printer on the network that reports nothing. Off, it refuses; its cable can be pulled while it is fed."""

    def __init__(self) -> None:
        self._listener: socket.socket | None = None
        with socket.create_server(("127.0.0.1", 0)) as free:
            self.port = free.getsockname()[1]
        self._labels: list[bytes] = []
        self._pull_at: int | None = None
        self._lock = threading.Lock()

    @property
    def device(self) -> str:
        return f"socket://127.0.0.1:{self.port}"

    def came_out(self) -> list[bytes]:
        with self._lock:
            return list(self._labels)

    def switch_on(self, pull_at: int | None = None) -> None:
        """Take labels; pull the cable in the middle of the label after `pull_at` more of them."""
        self._listener = socket.create_server(("127.0.0.1", self.port))
        with self._lock:
            self._pull_at = None if pull_at is None else len(self._labels) + pull_at
        threading.Thread(target=self._serve, args=[self._listener], daemon=True).start()

    def switch_off(self) -> None:
        if self._listener is not None:
            with suppress(OSError):
                self._listener.shutdown(socket.SHUT_RDWR)  # wakes the thread that waits in accept
            self._listener.close()
            self._listener = None

    @property
    def is_on(self) -> bool:
        return self._listener is not None and self._listener.fileno() >= 0

    def _serve(self, listener: socket.socket) -> None:
        while True:
            try:
                connection, _ = listener.accept()
            except OSError:
                return
            with connection:
                if len(self.came_out()) == self._pull_at:
                    connection.recv(100)
                    listener.close()
                    connection.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))  # reset
                    return
                data = b""
                while more := connection.recv(1 << 16):
                    data += more
                with self._lock:
                    self._labels.append(data)


GRAPHIC = re.compile(rb"~DGR:CUPS\.GRF,(\d+),(\d+),\n(.*?)\^XA", re.DOTALL)
HIGH = {letter: 20 * n for n, letter in enumerate("ghijklmnopqrstuvwxyz", 1)}
LOW = {letter: n for n, letter in enumerate("GHIJKLMNOPQRSTUVWXY", 1)}


def dots(sent: bytes, width: int) -> Image.Image:
    """The dots that the driver of the tests told its printer, in mode "1".

    Its graphic is rows of hexadecimal digits, a digit after its count (g to z twenties, G to Y ones); a comma fills the
    row with zeros, a colon repeats the one above.
    """
    found = GRAPHIC.search(sent)
    assert found is not None, sent[:200]
    assert sent.count(b"~DGR") == 1
    total, line = int(found[1]), int(found[2])
    rows: list[str] = []
    row, count = "", 0
    for letter in found[3].decode().replace("\n", ""):
        if letter in HIGH or letter in LOW:
            count += HIGH.get(letter, 0) + LOW.get(letter, 0)
        elif letter == ":":
            rows.append(rows[-1] if rows else "0" * 2 * line)
        elif letter == ",":
            rows.append(row.ljust(2 * line, "0"))
            row = ""
        else:
            row += letter * (count or 1)
            count = 0
            if len(row) == 2 * line:
                rows.append(row)
                row = ""
    data = bytes.fromhex("".join(rows))
    assert len(data) == total
    image = Image.frombytes("1", (8 * line, total // line), data, "raw", "1;I")
    return image.crop((0, 0, width, image.height))


def spooler(server: PrintServer, patience: float = 10) -> Spooler:
    return Spooler(server.address, patience)
