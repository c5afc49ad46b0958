"""The map in DEVELOPERS.md is the tree as it is."""

import re
import tomllib

from tests.docs import pages

TEXT = pages.read("DEVELOPERS.md")
PACKAGE = pages.PACKAGE


def named() -> set[str]:
    return set(re.findall(r"`([^`\n]+)`", TEXT))


def test_every_path_that_is_named_is_there() -> None:
    paths = {
        name for name in named() if re.fullmatch(r"(rigopt|tests|scenarios)/[\w/.]*", name)
    }
    paths.discard("rigopt/cli/NAME.py")
    assert len(paths) >= 15
    assert [path for path in sorted(paths) if not pages.place(path).exists()] == []


def test_every_module_at_the_top_and_of_the_solver_is_named() -> None:
    for path in sorted([*PACKAGE.glob("*.py"), *PACKAGE.glob("optimiser/solver/*.py")]):
        if not path.name.startswith("__"):
            name = path.name if path.parent != PACKAGE else f"rigopt/{path.name}"
            assert name in named(), f"{path} is not in the map"


def test_every_package_is_named() -> None:
    inside = [*PACKAGE.iterdir(), *PACKAGE.glob("optimiser/*"), *PACKAGE.glob("output/*")]
    for folder in sorted(inside):
        if (folder / "__init__.py").exists():
            assert f"{folder.relative_to(PACKAGE.parent)}/" in TEXT


def test_the_solver_is_imported_only_in_the_optimiser() -> None:
    importers = {
        path.relative_to(PACKAGE).parts[0]
        for path in PACKAGE.rglob("*.py")
        if re.search(r"^\s*(from|import) ortools", path.read_text("utf-8"), re.MULTILINE)
    }
    assert importers == {"optimiser"}


def test_the_rig_does_not_know_the_optimiser() -> None:
    for path in (PACKAGE / "rig").rglob("*.py"):
        assert "rigopt.optimiser" not in path.read_text("utf-8")


def test_every_dependency_has_its_reason() -> None:
    project = tomllib.loads(pages.read("pyproject.toml"))["project"]
    text = TEXT.split("## Dependencies")[1]
    told = re.findall(r"^\| (\w[\w-]*) \| [^|]+ \|$", text, re.MULTILINE)
    wanted = [re.split(r"[<>=]", line)[0] for line in project["dependencies"]]
    assert told == ["package", *wanted]


def test_links_lead_somewhere() -> None:
    for target in re.findall(r"\]\(([^)#]+)\)", TEXT):
        assert (pages.ROOT / target).exists()
