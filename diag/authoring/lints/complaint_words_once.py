"""A word of the owner's leads to one complaint.

Words typed at the start are matched to complaints; what stands in two leads to whichever comes
first in the alphabet.

Fails:
    complaints:
      hums: {title: It hums, proof: [beam is bright], words: [dead]}
    causes:
      flat cells: {complaints: {hums: improbable, will not light: probable}}

Says:
    the word `dead` of the complaint `will not light` leads to `hums` as well
    keep it in one of the two

Passes:
    complaints:
      hums: {title: It hums, proof: [beam is bright], words: [buzzing]}
    causes:
      flat cells: {complaints: {hums: improbable, will not light: probable}}
"""

from __future__ import annotations

from collections.abc import Iterator

from diag.authoring.lints.lint import Lint, Material
from diag.model.problem import Problem


def check(material: Material) -> Iterator[Problem]:
    """Yield a problem for each word that a second complaint has too."""
    first: dict[str, str] = {}
    for complaint in material.rulebook.complaints.values():
        said = (complaint.id, complaint.title, *complaint.words)
        for word in dict.fromkeys(" ".join(each.lower().split()) for each in said):
            owner = first.setdefault(word, complaint.id)
            if owner != complaint.id:
                yield Problem(
                    complaint.place,
                    f"the word `{word}` of the complaint `{complaint.id}` leads to `{owner}` as "
                    "well",
                    "keep it in one of the two",
                )


LINT = Lint("W02", "complaint-words-once", check)
