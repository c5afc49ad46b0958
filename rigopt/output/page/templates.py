"""The page's templates, which lie beside this file.

Every text that goes into them is made safe twice: control characters become visible and
piles of accents low, and what has a meaning in HTML is escaped.
"""

from __future__ import annotations

from pathlib import Path
from typing import Final

from jinja2 import Environment, FileSystemLoader, StrictUndefined, Template
from markupsafe import Markup

from rigopt.output.page.lettering import tame


def _finalize(value: object) -> object:
    """Tame a plain text; `Markup` comes from one of these templates and is tame."""
    return tame(value) if isinstance(value, str) and not isinstance(value, Markup) else value


_ENVIRONMENT: Final = Environment(
    loader=FileSystemLoader(Path(__file__).parent),
    autoescape=True,
    finalize=_finalize,
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
    keep_trailing_newline=True,
)


def template(name: str) -> Template:
    """The template of that name."""
    return _ENVIRONMENT.get_template(name)
