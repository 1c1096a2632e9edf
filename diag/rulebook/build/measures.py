"""How a finding is measured: from what was read to the model."""

from __future__ import annotations

from typing import Any

from diag.model.measure import Measure
from diag.rulebook.build.entries import Entry
from diag.rulebook.build.lookup import Lookup

NEEDED = ("with", "where", "when", "mistakes")


def measure(look: Lookup, entry: Entry) -> Measure | None:
    """Build how a finding is measured; what it does not say is as for the finding it names."""
    own: Entry | None = entry.values.get("measure")
    if own is None:
        return None
    said = {**_as_for(look, own), **own.values}
    lacking = [key for key in NEEDED if key not in said]
    for key in lacking:
        message = f"this does not say `{key}`"
        own.source.refuse(entry.key_at("measure"), message, f"add a line `{key}: ...`")
    if ("drawing" in said) != ("in words" in said):
        has, wants = ("drawing", "in words") if "drawing" in said else ("in words", "drawing")
        advice = f"add a line `{wants}: ...`, which tells the same"
        own.source.refuse(own.key_at(has), f"`{has}` stands without `{wants}`", advice)
    if _has_digit(own.values):
        look.needs_origin(entry, always=True)
    if lacking:
        return None
    return Measure(
        tool=said["with"],
        where=said["where"],
        when=said["when"],
        mistakes=said["mistakes"],
        good=said.get("good", ""),
        drawing=said.get("drawing", ()),
        in_words=said.get("in words", ""),
    )


def _as_for(look: Lookup, own: Entry) -> dict[str, Any]:
    """Return what the finding says that is measured in the same way; nothing where none is."""
    name = own.values.get("as for")
    if name is None or not look.refer(own, "findings", name, own.at("as for")):
        return {}
    other = look.gathered.of("findings")[name].values.get("measure")
    if other is None or "as for" in other.values:
        message = f"`{name}` does not say itself how it is measured"
        own.source.refuse(own.at("as for"), message, "name a finding that does")
        return {}
    said: dict[str, Any] = other.values
    return {key: said[key] for key in said if key != "good"}


def _has_digit(values: dict[str, Any]) -> bool:
    texts = (text for key, text in values.items() if key not in ("as for", "drawing"))
    return any(char.isdigit() for text in texts for char in "".join(text))
