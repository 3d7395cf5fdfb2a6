"""The keys of a part that are set on it and not bought with it."""

from __future__ import annotations

#: What is turned, typed in or jumpered on a part that stays.
SETTINGS = frozenset(
    {
        "setting", "phase_current", "hold_current", "closed_loop", "delay", "on_delay", "off_delay", "reset_mode",
        "switches_at", "signals", "functions", "limit", "time", "clamp", "trip_class",
    }
)  # fmt: skip
