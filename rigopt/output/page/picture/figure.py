"""The picture of a rig as a figure of a page, to be styled by `picture.css`."""

from __future__ import annotations

from markupsafe import Markup

from rigopt.output.page.picture.build import build
from rigopt.output.page.picture.marks import NO_MARKS, Marks
from rigopt.output.page.templates import template
from rigopt.rig.types import Rig


def picture(rig: Rig, marks: Marks = NO_MARKS) -> Markup:
    """A `figure` with the picture and its legend, for any width; it has no ids."""
    return Markup(template("picture/picture.html.j2").render(picture=build(rig, marks)))
