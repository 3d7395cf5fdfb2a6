"""What all rules say of a plan, with the mends that they offer worked out."""

from __future__ import annotations

from wiring.design.design import Design
from wiring.findings import Report
from wiring.rules.run import judge


def judged_with_mends(design: Design) -> Report:
    """What all rules say, with the mends of its worst findings worked out and tried."""
    report = judge(design)
    if not any(mend.edits or mend.asks for root in report.roots for mend in root.mends):
        return report  # what works mends out is a tenth of all modules
    from wiring.changes.tried_mends import with_tried_mends

    return with_tried_mends(design, report)
