"""What a printer needs to know of a rule."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol


class RuleText(Protocol):
    """A rule's slug, the few words that name the fault, and what it does to people or things."""

    @property
    def slug(self) -> str: ...

    @property
    def title(self) -> str: ...

    @property
    def harm(self) -> str: ...


def titles(rules: Iterable[RuleText]) -> dict[str, str]:
    """Title by slug."""
    return {rule.slug: rule.title for rule in rules}
