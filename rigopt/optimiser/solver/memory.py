"""Python's search for what nothing holds any more, put off while a model is made.

It is asked for by the number of objects that are made. A model makes many at once and holds all
of them, so meanwhile it would be looked through again and again for nothing.
"""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def uncollected() -> Iterator[None]:
    """Nothing is looked for inside; after it all is as it was before."""
    before = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if before:
            gc.enable()
