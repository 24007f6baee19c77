"""``python -m tests.cli.sillmark``: the command line as a process of its own, without an installation."""

import atexit
import os
import re
import sys
import time
from pathlib import Path

from evidence.cli import main


def tell_cost() -> None:
    """Say what this process took; what the system tells of a child counts the memory of whoever started it."""
    status = Path("/proc/self/status").read_text(encoding="ascii")
    peak = re.findall(r"VmHWM:\s+([0-9]+) kB", status)[0]
    sys.stderr.write(f"cost: {time.process_time():.2f} s, {peak} KiB\n")


if __name__ == "__main__":
    if "SILLMARK_TEST_COST" in os.environ:
        atexit.register(tell_cost)
    main()
