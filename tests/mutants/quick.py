"""Which tests of a module are quick, the likeliest to notice a change first."""

from __future__ import annotations

from typing import Final

QUICK: Final[dict[str, tuple[str, ...]]] = {
    "rigopt/rig/audit/growth": (
        "tests/growth/test_growth_audit.py",
        "tests/growth/test_selling.py",
    ),
    "rigopt/rig/audit": (
        "tests/rig",
        "tests/audit/test_audit_findings.py",
        "tests/growth/test_growth_audit.py",
        "tests/growth/test_selling.py",
        "tests/money/test_resale.py",
        "tests/audit/test_audit_reading.py",
        "tests/money/test_extras.py",
    ),
    "rigopt/rig/reading": (
        "tests/rig/test_rig_files.py",
        "tests/audit/test_audit_reading.py",
        "tests/audit/test_audit_findings.py",
    ),
    "rigopt/rig/numbering": ("tests/rig",),
    "rigopt/rig": ("tests/rig", "tests/audit/test_audit_findings.py"),
    "rigopt/optimiser/problem": (
        "tests/optimiser",
        "tests/mutants",
        "tests/choice/test_analogue.py",
        "tests/analogue/test_by_hand.py",
    ),
    "rigopt/optimiser/model": (
        "tests/mutants",
        "tests/optimiser",
        "tests/oracle",
        "tests/money",
        "tests/regret/test_regret.py",
        "tests/regret/test_ranges.py",
        "tests/choice/test_analogue.py",
        "tests/analogue",
        "tests/growth/test_rules_of_growth.py",
        "tests/growth/test_selling.py",
    ),
    "rigopt/optimiser/model/regret": ("tests/regret",),
    "rigopt/optimiser/model/orders": ("tests/money", "tests/optimiser"),
    "rigopt/optimiser/problem/bargains": ("tests/optimiser/test_bounds.py", "tests/money"),
    "rigopt/optimiser/problem/supplies": ("tests/optimiser/test_bounds.py", "tests/money"),
    "rigopt/optimiser/search": (
        "tests/optimiser",
        "tests/mutants",
        "tests/oracle",
        "tests/analogue/test_by_hand.py",
        "tests/money/test_offers.py",
        "tests/regret/test_regret.py",
        "tests/choice/test_alternatives.py",
        "tests/choice/test_one_model.py",
    ),
    "rigopt/optimiser/solver": (
        "tests/optimiser/test_second_opinion.py",
        "tests/optimiser/test_deadline.py",
        "tests/optimiser/test_large_sums.py",
        "tests/optimiser/test_excluded_mixes.py",
        "tests/optimiser/test_relaxation.py",
        "tests/oracle/test_second_agrees.py",
        "tests/sheets/test_seating_ends.py",
        "tests/choice_commands/test_progress.py",
    ),
    "rigopt/optimiser/solver/relaxation": ("tests/optimiser/test_relaxation.py",),
    "rigopt/optimiser/decode": (
        "tests/optimiser",
        "tests/sheets/test_seats.py",
        "tests/sheets/test_seating_ends.py",
        "tests/growth/test_stay.py",
        "tests/analogue/test_by_hand.py",
        "tests/money/test_offers.py",
        "tests/oracle/test_solver_agrees.py",
        "tests/mutants/test_mutants.py",
        "tests/cli/test_golden.py",
    ),
    "rigopt/catalogue/rules": (
        "tests/reading/test_devices.py",
        "tests/reading/test_catalogues.py",
        "tests/facts/test_formats.py",
    ),
    "rigopt/output/sheets": ("tests/sheets/test_sentences.py", "tests/sheets"),
}


def quick_tests(module: str) -> tuple[str, ...]:
    """Those of the longest name that `module` begins with."""
    known = [name for name in QUICK if module.startswith(name)]
    return QUICK[max(known, key=len)] if known else ("tests",)
