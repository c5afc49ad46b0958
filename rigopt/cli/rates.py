"""`rigopt rates`: the same rig at every sample rate."""

from __future__ import annotations

from pathlib import Path

import click

from rigopt.answers.rates import by_rate
from rigopt.catalogue import shipped
from rigopt.catalogue.read import read_folder
from rigopt.cli import options
from rigopt.output.files import write_whole
from rigopt.output.terminal.rates import rates_text
from rigopt.rig.reading.read import read_rig


@click.command()
@click.argument("rig_file", metavar="RIG", type=click.Path(path_type=Path, readable=False))
@options.catalogue_option
@click.option("--own-clocks", is_flag=True, help="Hosts may run on clocks of their own.")
def rates(*, rig_file: Path, catalog: Path | None, own_clocks: bool) -> int:
    """What arrives at the computer at every sample rate, for a wired rig.

    RIG is a file as for 'rigopt audit'. Every rate that one of its units knows has a
    column. Where inputs are missing, what follows says why: sockets that die, units that
    do not know the rate, a clock that does not hold.

    Exit status: 0 answered, 2 wrong use or an input in error.
    """
    catalogue = read_folder(catalog or shipped.demo_catalogue(), invented=catalog is None)
    rig = read_rig(rig_file, catalogue, rate_needed=48000)
    found = by_rate(rig, own_clocks)
    write_whole("-", rates_text(found))
    return found.exit_status
