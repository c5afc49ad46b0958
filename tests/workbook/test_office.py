"""Our workbook opened and saved again by a real office program reads the same."""

from __future__ import annotations

import shutil
import subprocess
from dataclasses import replace
from pathlib import Path

import pytest
from python_calamine import CalamineWorkbook

from rigopt.catalogue.columns import COLUMNS
from rigopt.catalogue.types import Catalogue
from rigopt.cli.main import run
from tests.reading.folders import write
from tests.workbook.books import filled_in, read

SOFFICE = shutil.which("soffice")

pytestmark = [
    pytest.mark.full,
    pytest.mark.skipif(SOFFICE is None, reason="needs LibreOffice (soffice)"),
    pytest.mark.xdist_group("office"),
]

CSV = "csv:Text - txt - csv (StarCalc):{separator},34,76,1,,0,false,true,true,false,false,-1"
"""A file for each sheet, UTF-8, cells as they are shown (LibreOffice help, 'Filter Options
for CSV'). The separator is the one that its dialog offers where the comma is decimal."""

SETTINGS = """\
<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Setup/L10N"><prop oor:name="ooSetupSystemLocale" \
oor:op="fuse"><value>{locale}</value></prop></item>
</oor:items>
"""

LOCALES = [("en-GB", ord(",")), ("de-DE", ord(";"))]


def saved(file: Path, locale: str, form: str, *more: str) -> Path:
    """The folder with what the office program makes of `file`, in a profile of its own.

    `more` are options for it.
    """
    profile, target = file.parent / f"profile-{locale}", file.parent / f"saved-{locale}"
    (profile / "user").mkdir(parents=True, exist_ok=True)
    settings = profile / "user" / "registrymodifications.xcu"
    settings.write_text(SETTINGS.format(locale=locale), "utf-8")
    assert SOFFICE
    done = subprocess.run(
        [
            *(SOFFICE, f"-env:UserInstallation={profile.as_uri()}", "--headless", *more),
            *("--convert-to", form, "--outdir", str(target), str(file)),
        ],
        capture_output=True,
        text=True,
        timeout=300,
        check=True,
    )
    assert target.exists(), done.stdout + done.stderr
    return target


def same(found: Catalogue, original: Catalogue) -> bool:
    return replace(found, name="", title="") == replace(original, name="", title="")


@pytest.mark.parametrize(
    ("locale", "form"), [("en-GB", "xlsx"), ("de-DE", "xlsx"), ("de-DE", "ods")]
)
def test_as_a_workbook(tmp_path: Path, locale: str, form: str) -> None:
    original = filled_in(tmp_path / "my-gear.xlsx")
    again = saved(original, locale, form) / f"my-gear.{form}"
    assert again.read_bytes() != original.read_bytes()
    assert same(read(again), read(original))


@pytest.mark.parametrize(("locale", "separator"), LOCALES)
def test_as_csv(tmp_path: Path, locale: str, separator: int) -> None:
    original = filled_in(tmp_path / "my-gear.xlsx")
    sheets = saved(original, locale, CSV.format(separator=separator))
    folder = tmp_path / "folder"
    folder.mkdir()
    for name in COLUMNS:
        shutil.copy(sheets / f"my-gear-{name}.csv", folder / f"{name}.csv")
    note = read(original).note
    (folder / "catalog.toml").write_text(f'currency = "EUR"\nnote = "{note}"\n', "utf-8")
    text = (folder / "devices.csv").read_text("utf-8")
    assert ("1234,50" in text, "1234.50" in text) == (locale == "de-DE", locale == "en-GB")
    assert same(read(folder), read(original))


def test_a_list_opens_right_in_a_german_spreadsheet(tmp_path: Path) -> None:
    """Cells as that locale cuts and reads them: at semicolons, with decimal commas."""
    rows = "id;role;price;mic;label\nbox;host;1.299,50;2;Gerät, groß\n"
    shop = write(tmp_path, {"devices.csv": rows.encode("utf-8-sig")})
    asked = ["plan", "--catalog", str(shop), "--mic", "2", "--shopping-list"]
    assert run([*asked, str(tmp_path / "list.csv")]) == 0
    opened = saved(tmp_path / "list.csv", "de-DE", "xlsx", "--infilter=CSV:59,34,76,1")
    sheet = CalamineWorkbook.from_path(opened / "list.xlsx").get_sheet_by_index(0).to_python()
    assert sheet[0][:2] == ["item", "label"]
    assert sheet[1][:7] == ["box", "Gerät, groß", "device", "", 1, 1299.5, 1299.5]
