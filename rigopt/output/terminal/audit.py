"""The verdict on a wired rig as text for a terminal of 80 columns."""

from __future__ import annotations

from rigopt.answers.repair import NoRepair, Repaired
from rigopt.answers.verdict import Verdict, examine
from rigopt.catalogue.types import Catalogue
from rigopt.needs.types import Needs
from rigopt.output.terminal.audit_repair import repair_text
from rigopt.output.terminal.audit_rig import sections
from rigopt.output.terminal.head import line, title
from rigopt.output.terminal.layout import cut, paragraph
from rigopt.output.words.audit import headline, needs_told, rate_told
from rigopt.output.words.audit_rules import change, rule, sentence
from rigopt.rig.audit.finding import Finding

HINT = "With --fix you are told the cheapest repair that keeps the units."


def audit_text(
    verdict: Verdict,
    catalogue: Catalogue,
    needs: Needs | None,
    repair: Repaired | NoRepair | None = None,
) -> str:
    """The verdict, and the repair where one was asked for; it ends with a line end."""
    parts = [head(verdict, needs)]
    if verdict.works:
        parts += sections(verdict)
    else:
        parts += [f"FAULTS\n{_faults(verdict)}", f"RULES BROKEN\n{_rules(verdict)}"]
    if repair is not None:
        parts.append(repair_text(verdict.rig, repair, catalogue))
    elif not verdict.works:
        parts.append(HINT)
    if isinstance(repair, Repaired):
        parts.append(paragraph("After the repair the rig works:"))
        parts += sections(examine(repair.rig, needs))
    return "\n\n".join(parts) + "\n"


def head(verdict: Verdict, needs: Needs | None) -> str:
    """The verdict in a line, underlined; what rig it is of, and against what."""
    rig = verdict.rig
    lines = [title(headline(verdict))]
    if rig.title:
        lines += [line("Rig", name) for name in cut(rig.title, 70)]
    lines.append(line("Rate", rate_told(rig)))
    if needs is not None:
        lines.append(line("Needs", needs_told(verdict, needs)))
    return "\n".join(lines)


def _faults(verdict: Verdict) -> str:
    left = len(str(len(verdict.findings))) + 2
    return "\n".join(
        _fault(f"{number}.".ljust(left), found)
        for number, found in enumerate(verdict.findings, start=1)
    )


def _fault(number: str, found: Finding) -> str:
    says = paragraph(f"{sentence(found)} [{found.rule}]", number)
    return f"{says}\n{paragraph(change(found), ' ' * len(number) + 'Change: ')}"


def _rules(verdict: Verdict) -> str:
    """The rules that are broken, each once, with the names that stand behind the faults."""
    behind: dict[str, list[str]] = {}
    for found in verdict.findings:
        names = behind.setdefault(rule(found), [])
        if found.rule not in names:
            names.append(found.rule)
    return "\n".join(
        paragraph(f"{words} [{', '.join(rules)}]", "- ") for words, rules in behind.items()
    )
