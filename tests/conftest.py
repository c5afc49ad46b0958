from __future__ import annotations

import pytest
from hypothesis import settings

pytest_plugins = ["tests.seconded"]

# Much the same cases on every run, as far as the same modules are loaded: what fails somewhere
# should fail everywhere. For others there is --hypothesis-profile=default.
settings.register_profile("same", derandomize=True)
settings.load_profile("same")


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """What draws cases at random belongs to the full tier, unless it is on demand only."""
    for item in items:
        drawn = getattr(getattr(item, "obj", None), "is_hypothesis_test", False)
        if drawn and item.get_closest_marker("long") is None:
            item.add_marker(pytest.mark.full)
