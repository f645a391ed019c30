"""The program as it is, on a machine so busy that the screen stands still for 120 of every 200 ms.

With a second argument its own second is so many times shorter: a card scanned again after that is meant again.
"""

import sys
import time
from pathlib import Path

from reassembly.record.desk import Desk
from reassembly.screens import app


class BusyApp(app.ReassemblyApp):
    CSS_PATH = str(Path(app.__file__).with_name("frame.tcss"))

    def on_mount(self) -> None:
        super().on_mount()
        self.set_interval(0.2, lambda: time.sleep(0.12))


with Desk.open(Path(sys.argv[1]), who="ann") as opened:
    busy = BusyApp(opened)
    faster = float(sys.argv[2]) if len(sys.argv) > 2 else 1.0
    busy.clock = lambda: time.monotonic() * faster
    busy.run()
