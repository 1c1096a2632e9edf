"""A cause lies in the folder of its area, in a file of its own name.

Whoever looks for a cause finds it by its name. The reader refuses a wrong name; a cause outside
any folder is found here.

Fails:
    file: flat-cells.yaml
    causes:
      flat cells: {}

Says:
    the cause `flat cells` of the area `power` does not lie in `power/flat-cells.yaml`
    move the file there

Passes:
    file: power/flat-cells.yaml
    causes:
      flat cells: {}
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import PurePath

from diag.authoring.lints.lint import Lint, Material
from diag.model.problem import Problem


def check(material: Material) -> Iterator[Problem]:
    """Yield a problem for each cause that does not lie where its id and area say."""
    for cause in material.rulebook.causes.values():
        wanted = (cause.area, f"{cause.id.replace(' ', '-')}.yaml")
        if PurePath(cause.place.path).parts[-2:] != wanted:
            yield Problem(
                cause.place,
                f"the cause `{cause.id}` of the area `{cause.area}` does not lie in "
                f"`{'/'.join(wanted)}`",
                "move the file there",
            )


LINT = Lint("C01", "cause-in-its-folder", check)
