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
    "rigopt/optimiser/questions": (
        "tests/choice",
        "tests/choice_commands",
        "tests/optimiser/test_second_opinion.py",
        "tests/regret",
        "tests/growth/test_grow_command.py",
    ),
    "rigopt/optimiser/questions/repair": (
        "tests/audit/test_audit_repair.py",
        "tests/audit/test_repair_lines.py",
        "tests/audit/test_repair_links.py",
        "tests/audit/test_handout.py",
        "tests/audit/test_repair_random.py",
    ),
    "rigopt/optimiser/questions/growth": (
        "tests/growth",
        "tests/money/test_resale.py",
    ),
    "rigopt/optimiser/questions/conflict": ("tests/choice", "tests/growth"),
    "rigopt/optimiser/questions/why": ("tests/choice", "tests/money"),
    "rigopt/optimiser/questions/prices": (
        "tests/regret/test_lookups.py",
        "tests/choice_commands/test_blank_prices.py",
    ),
    "rigopt/optimiser/questions/checks": (
        "tests/choice/test_ladders.py",
        "tests/choice/test_checks.py",
    ),
    "rigopt/optimiser/questions/curve.py": (
        "tests/choice_commands/test_series.py",
        "tests/choice_commands/test_open_answers.py",
        "tests/optimiser/test_deadline.py",
    ),
    "rigopt/optimiser/questions/stretch.py": (
        "tests/choice_commands/test_series.py",
        "tests/choice_commands/test_open_answers.py",
        "tests/optimiser/test_deadline.py",
    ),
    "rigopt/optimiser/questions/more.py": (
        "tests/choice/test_more.py",
        "tests/choice_commands/test_open_answers.py",
    ),
    "rigopt/optimiser/questions/second.py": (
        "tests/optimiser/test_second_opinion.py",
        "tests/oracle/test_second_agrees.py",
        "tests/oracle/test_second_everywhere.py",
    ),
    "rigopt/optimiser/questions/behind.py": (
        "tests/choice/test_more.py",
        "tests/choice_commands",
        "tests/choice",
        "tests/regret",
    ),
    "rigopt/optimiser/questions/alternatives.py": (
        "tests/choice/test_alternatives.py",
        "tests/choice/test_alternative_whole.py",
        "tests/choice/test_analogue.py",
        "tests/optimiser/test_deadline.py",
    ),
    "rigopt/optimiser/questions/regret": ("tests/regret", "tests/choice_commands"),
    "rigopt/needs": ("tests/reading", "tests/regret/test_typed.py"),
    "rigopt/catalogue": (
        "tests/adding/test_answers.py",
        "tests/reading",
        "tests/adding/test_questions.py",
        "tests/adding/test_ten_boxes.py",
        "tests/listing/test_doubts.py",
        "tests/workbook/test_workbook.py",
    ),
    "rigopt/output": (
        "tests/output",
        "tests/page/test_page.py",
        "tests/page/test_charts.py",
        "tests/page/test_picture.py",
        "tests/cli/test_golden.py",
        "tests/sheets/test_sentences.py",
        "tests/audit/test_audit_findings.py",
        "tests/audit/test_audit_commands.py",
        "tests/choice/test_words.py",
        "tests/choice_commands/test_commands.py",
        "tests/listing/test_doubts.py",
        "tests/listing/test_sentence.py",
    ),
    "rigopt/output/words": (
        "tests/listing/test_doubts.py",
        "tests/listing/test_sentence.py",
        "tests/output",
        "tests/choice/test_words.py",
        "tests/audit/test_audit_findings.py",
        "tests/sheets",
        "tests/audit/test_audit_repair.py",
        "tests/audit/test_repair_links.py",
        "tests/rig/test_audit_remedies.py",
        "tests/growth/test_grow_command.py",
        "tests/cli/test_golden.py",
    ),
    "rigopt/api": (
        "tests/api",
        "tests/audit/test_repair_lines.py",
        "tests/audit/test_audit_repair.py",
        "tests/choice_commands/test_series.py",
        "tests/regret/test_ranges.py",
    ),
    "rigopt/output/sheets": ("tests/sheets/test_sentences.py", "tests/sheets"),
}


def quick_tests(module: str) -> tuple[str, ...]:
    """Those of the longest name that `module` begins with."""
    known = [name for name in QUICK if module.startswith(name)]
    return QUICK[max(known, key=len)] if known else ("tests",)
