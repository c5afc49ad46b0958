"""The command `rigopt`, and `python -m rigopt`: heard from the first moment on.

What answers takes a while to load. Ctrl-C meanwhile ends the program in a line, as it does
later, and a request to end, whenever it comes, leaves no half file behind.
"""

import os
import signal
import sys
from types import FrameType
from typing import NoReturn


def main() -> NoReturn:
    """Run the command line and leave with its exit status."""
    heard = signal.getsignal(signal.SIGINT) is signal.default_int_handler
    if heard:
        signal.signal(signal.SIGINT, _leave)
    signal.signal(signal.SIGTERM, _end)
    from rigopt.cli.main import main as run  # noqa: PLC0415

    if heard:
        signal.signal(signal.SIGINT, signal.default_int_handler)
    run()


def _leave(number: int, frame: FrameType | None) -> NoReturn:
    """Leave at once: nothing has begun yet."""
    del frame
    os.write(2, b"rigopt: stopped\n")
    os._exit(128 + number)


def _end(number: int, frame: FrameType | None) -> NoReturn:
    """Leave by way of whatever has to be put away first."""
    del frame
    sys.exit(128 + number)


if __name__ == "__main__":
    main()
