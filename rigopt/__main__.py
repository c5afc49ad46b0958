"""The command `rigopt`, and `python -m rigopt`: heard from the first moment on.

What answers takes a while to load. Ctrl-C meanwhile ends the program in a line, as it does
later, and a request to end, whenever it comes, leaves no half file behind. So what is loaded
before the signal is heard is what Python has loaded by itself, or next to nothing.
"""

import signal

from rigopt.cli import leaving

TYPE_CHECKING = False
if TYPE_CHECKING:
    from typing import NoReturn


def main() -> "NoReturn":
    """Run the command line and leave with its exit status."""
    if signal.getsignal(signal.SIGINT) is signal.default_int_handler:
        signal.signal(signal.SIGINT, leaving.stopped)
    signal.signal(signal.SIGTERM, leaving.ended)
    from rigopt.cli.main import main as run  # noqa: PLC0415

    run()


if __name__ == "__main__":
    main()
