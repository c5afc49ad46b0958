"""The map in DEVELOPERS.md names every module of growth."""

from tests.docs import pages


def test_every_module_of_growth_is_in_the_map() -> None:
    lines = pages.read("DEVELOPERS.md").splitlines()
    row = next(line for line in lines if line.startswith("| `growth/`"))
    modules = sorted((pages.ROOT / "rigopt" / "optimiser" / "growth").glob("[!_]*.py"))
    assert modules
    assert [m.name for m in modules if m.name not in row] == []
