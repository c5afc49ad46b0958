"""`rigopt prices` where a person sits at the terminal."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

pytestmark = pytest.mark.skipif(
    not hasattr(os, "openpty"), reason="Windows has no pseudo-terminals"
)
SMALL = Path(__file__).parents[1] / "golden" / "catalogues" / "small"


def test_prices_are_typed_in_until_it_is_done(tmp_path: Path) -> None:
    """A slip is asked for again; Enter alone leaves a price for later."""
    shop = tmp_path / "shop"
    shutil.copytree(SMALL, shop)
    file = shop / "devices.csv"
    file.write_text(file.read_text().replace(",240.00,", ",,").replace(",480.00,", ",,"))
    ours, theirs = os.openpty()
    command = [sys.executable, "-m", "rigopt", "prices", "--catalog", str(shop), "--mic", "16"]
    with subprocess.Popen(command, stdin=theirs, stdout=subprocess.PIPE, stderr=theirs) as run:
        os.close(theirs)
        os.write(ours, b"dear\n480\n240\n")
        assert run.stdout is not None
        shown = run.stdout.read().decode()
    heard = os.read(ours, 100_000).decode()
    os.close(ours)
    assert run.returncode == 0
    assert "Price of rack-16" in heard
    assert "'dear' is not" in heard
    assert shown.startswith("Every price is known.")
    assert "436.00" in shown
