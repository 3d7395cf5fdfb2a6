"""Printers of findings and plan faults: terminal, brief, JSON, SARIF, HTML; the page of a rule with its example.

None of them judges anything; lists and sheets for the bench live in `documents`.
"""

from wiring.reports.render import Style, exit_status, render, render_faults

__all__ = ["Style", "exit_status", "render", "render_faults"]
