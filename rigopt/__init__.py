"""Find the cheapest rig of interfaces, expanders and cables that meets a need.

Here are the questions, what they take, and the types of what they give. Each is imported when
it is first used, so that the command line waits for nothing it does not need.
"""

TYPE_CHECKING = False
"""As in `typing`, which takes longer to load than all that Ctrl-C has to wait for here."""

if TYPE_CHECKING:
    from rigopt.api.face import (
        audit,
        compare,
        curve,
        demo_catalogue,
        grow,
        plan,
        prices,
        rates,
        read_catalogue,
        repair,
        stretch,
    )
    from rigopt.api.needs import Needs, read_needs
    from rigopt.api.results import (
        Answered,
        Comparison,
        Curve,
        Faulty,
        Grown,
        Impossible,
        NoRepair,
        OutOfTime,
        Prices,
        Rates,
        Repaired,
        Stretched,
        Works,
    )
    from rigopt.catalogue.types import Catalogue
    from rigopt.errors import RigoptError

__all__ = [
    "Answered",
    "Catalogue",
    "Comparison",
    "Curve",
    "Faulty",
    "Grown",
    "Impossible",
    "Needs",
    "NoRepair",
    "OutOfTime",
    "Prices",
    "Rates",
    "Repaired",
    "RigoptError",
    "Stretched",
    "Works",
    "audit",
    "compare",
    "curve",
    "demo_catalogue",
    "grow",
    "plan",
    "prices",
    "rates",
    "read_catalogue",
    "read_needs",
    "repair",
    "stretch",
]

_HOMES = ("errors", "catalogue.types", "api.needs", "api.results", "api.face")
"""Where the names are, what takes least to import first."""

if not TYPE_CHECKING:  # a checker of types would take every name for one that is here

    def __getattr__(name: str) -> object:
        from importlib import import_module  # noqa: PLC0415

        for home in _HOMES if name in __all__ else ():
            module = import_module(f"rigopt.{home}")
            if hasattr(module, name):
                globals()[name] = getattr(module, name)
                return globals()[name]
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__() -> list[str]:
    return __all__
