"""A plan full of names that try to be markup, script, formulas or another direction of text."""

from __future__ import annotations

import json
from pathlib import Path

from wiring.design.load import Loaded, load_text

ROOT = Path(__file__).parents[1]
#: 300 characters and more: script, quotes, an entity, the mark that turns text around, a bell, letters of no face.
TITLE = "</script><script>window.bad=1</script>\"'&amp;<img src=x onerror=window.bad=1>\u202e\u200f\x07中" + "x" * 300
WIRE = "<script>window.bad=1</script>\"'\u202e"
SECOND = "'><img/src=x/onerror=window.bad=1>"
PART = "=K<b>'1\""


def hostile() -> Loaded:
    """The coil winder with such a machine title, wire numbers, a part and titles."""
    text = (ROOT / "specs" / "coil-winder.yaml").read_text("utf-8")
    swaps = [
        ("machine: Bench coil winder", f"machine: {json.dumps(TITLE)}"),
        ("{wire: 203,", f"{{wire: {json.dumps(WIRE)}, title: {json.dumps(TITLE)},"),
        ("{wire: 204,", f"{{wire: {json.dumps(SECOND)},"),
        ("  F3: {", f"  F3: {{title: {json.dumps(TITLE)}, "),
        ("  X3: {", f"  {json.dumps(PART)}: {{kind: push-button, contacts: {{13-14: NO}}}}\n  X3: {{"),
    ]
    for old, new in swaps:
        assert old in text, old
        text = text.replace(old, new, 1)
    return load_text(text, "plan\"<b>'.yaml", ROOT / "specs")
