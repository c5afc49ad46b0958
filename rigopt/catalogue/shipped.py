"""Where the folders that come with the program are: the demo and the templates.

An installed package holds them in `rigopt/shipped`; in a source tree they stand beside
the package.
"""

from __future__ import annotations

from pathlib import Path
from typing import Final

_PACKAGE: Final = Path(__file__).resolve().parent.parent


def demo_catalogue() -> Path:
    """The catalogue that a question without one is answered from; its prices are invented."""
    return _folder("scenarios") / "chapel-choir" / "catalogue"


def template_names() -> tuple[str, ...]:
    """The names of all templates, in alphabetical order."""
    return tuple(
        sorted(f.parent.name for f in _folder("catalog_templates").glob("*/catalog.toml"))
    )


def template(name: str) -> Path:
    """The folder of the template `name`.

    Raises:
        KeyError: When there is no such template.
    """
    if name not in template_names():
        raise KeyError(name)
    return _folder("catalog_templates") / name


def _folder(name: str) -> Path:
    """The packaged folder `name`, or the one of the source tree this file stands in."""
    packaged = _PACKAGE / "shipped" / name
    return packaged if packaged.is_dir() else _PACKAGE.parent / name
