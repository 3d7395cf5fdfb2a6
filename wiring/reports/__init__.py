"""Printers of findings and plan faults; none of them judges anything."""

from wiring.reports.render import Style, exit_status, render, render_faults

__all__ = ["Style", "exit_status", "render", "render_faults"]
