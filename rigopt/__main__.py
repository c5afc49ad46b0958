"""`python -m rigopt`: the same as the command `rigopt`."""

from rigopt.cli.main import main

main()
