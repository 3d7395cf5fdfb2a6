"""Where pages in HTML are put together: every text of a plan escaped, style and script allowed by their hash alone."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterable
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, Any

from wiring.reports.lines import clean

if TYPE_CHECKING:
    from markupsafe import Markup


def filled(template: Path, style: Iterable[Path], script: Iterable[Path] = (), **words: Any) -> str:
    """The template with its words; the files of `style` and of `script` are set one after the other."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    room = Environment(
        loader=FileSystemLoader(template.parent),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    room.filters["clean"] = lambda text: clean(str(text))
    texts = {"style": _joined(style), "script": _joined(script)}
    hashes = {f"{name}_hash": _hash(text) for name, text in texts.items()}
    return room.get_template(template.name).render(
        **{name: safe(text) for name, text in texts.items()}, **hashes, **words
    )


def safe(markup: str) -> Markup:
    """Markup of our own writers, in which every text of the plan is escaped already."""
    from markupsafe import Markup

    return Markup(markup)


def _joined(files: Iterable[Path]) -> str:
    return "".join(file.read_text("utf-8") for file in files)


def _hash(text: str) -> str:
    return b64encode(sha256(text.encode()).digest()).decode()
