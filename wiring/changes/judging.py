"""What all rules say of a plan, with the mends that they offer worked out and what its measured values change."""

from __future__ import annotations

from typing import Any

from msgspec.structs import replace

from wiring.design.design import Design
from wiring.design.machine import Machine
from wiring.design.measured import measured_values
from wiring.findings import Finding, Report
from wiring.rules.run import judge, tell


def judged_with_mends(design: Design) -> Report:
    """What all rules say, with the mends of its worst findings worked out and tried."""
    report = judge(design)
    if design.plan.measured is not None:
        report = replace(report, figures={**report.figures, "measured": _told_of_measured(design, report)})
    if not any(mend.edits or mend.asks for root in report.roots for mend in root.mends):
        return report  # what works mends out is a tenth of all modules
    from wiring.changes.tried_mends import with_tried_mends

    return with_tried_mends(design, report)


def _told_of_measured(design: Design, report: Report) -> dict[str, Any]:
    """Each measured value beside the one it replaces, and the findings that come and go by them."""
    from wiring.changes.outcome import is_new

    machine = design.machine
    plan = design.plan.model_copy(update={"measured": None})
    without = tell(Design.of(Machine(machine.reading, plan, machine.parts, machine.circuit, machine.topology))).findings
    return {
        "values": [
            {"what": one.what, "computed": one.computed, "measured": one.measured, "unit": one.unit}
            for one in measured_values(design)
        ],
        "brings": [_named(one) for one in report.findings if is_new(one, without)],
        "takes": [_named(one) for one in without if is_new(one, report.findings)],
    }


def _named(finding: Finding) -> str:
    return f"{finding.signal} {finding.rule} {', '.join(finding.subjects)}"
