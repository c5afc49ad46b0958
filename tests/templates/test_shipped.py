"""The packaged folders are found in a source tree and in an installed package."""

from pathlib import Path

import pytest

from rigopt.catalogue import shipped


def test_the_demo_and_the_templates_are_there() -> None:
    assert (shipped.demo_catalogue() / "devices.csv").is_file()
    assert shipped.template_names() == ("full-rack", "second-hand", "usb-desk")
    for name in shipped.template_names():
        # Trunks are for racks; the small catalogues have none.
        trunks = ["formats.csv"] if name == "full-rack" else []
        assert sorted(file.name for file in shipped.template(name).iterdir()) == [
            "cables.csv",
            "catalog.toml",
            "devices.csv",
            *trunks,
        ]


def test_an_unknown_template_has_no_folder() -> None:
    with pytest.raises(KeyError, match="no-such"):
        shipped.template("no-such")


def test_no_name_leads_out_of_the_folder_of_templates() -> None:
    with pytest.raises(KeyError):
        shipped.template("../scenarios/chapel-choir/catalogue")


def test_an_installed_package_uses_the_folder_inside_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    inside = tmp_path / "rigopt" / "shipped" / "catalog_templates" / "mine"
    inside.mkdir(parents=True)
    (inside / "catalog.toml").write_text("")
    monkeypatch.setattr(shipped, "_PACKAGE", tmp_path / "rigopt")
    assert shipped.template_names() == ("mine",)
    assert shipped.template("mine") == inside
    # Nothing else is packed there, so the rest is looked for beside the package.
    assert shipped.demo_catalogue() == tmp_path / "scenarios" / "chapel-choir" / "catalogue"
