"""The command `rigopt`, and `python -m rigopt`: heard from the first moment on.

What answers takes a while to load. Ctrl-C meanwhile ends the program in a line, as it does
later, and a request to end, whenever it comes, leaves no half file behind. So what is loaded
before the signal is heard is what Python has loaded by itself, or next to nothing.
"""

import os
import signal
import sys

TYPE_CHECKING = False
if TYPE_CHECKING:
    from types import FrameType
    from typing import NoReturn


def main() -> "NoReturn":
    """Run the command line and leave with its exit status."""
    heard = signal.getsignal(signal.SIGINT) is signal.default_int_handler
    if heard:
        signal.signal(signal.SIGINT, _leave)
    signal.signal(signal.SIGTERM, _end)
    from rigopt.cli.main import main as run  # noqa: PLC0415

    if heard:
        signal.signal(signal.SIGINT, signal.default_int_handler)
    run()


def _leave(number: int, frame: "FrameType | None") -> "NoReturn":
    """Leave at once: nothing has begun yet."""
    del frame
    os.write(2, b"rigopt: stopped\n")
    os._exit(128 + number)


def _end(number: int, frame: "FrameType | None") -> "NoReturn":
    """Leave at once, and leave no half file behind.

    An exception would be lost, or taken for another, where it is raised in a package that is
    being loaded.
    """
    del frame
    put_away = getattr(sys.modules.get("rigopt.output.files"), "put_away", None)
    if put_away is not None:
        put_away()
    os._exit(128 + number)


if __name__ == "__main__":
    main()
