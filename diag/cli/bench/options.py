"""The bench measures' commands, their options made from the tables of inputs.

What a command does is imported only when it runs.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable, Mapping, Sequence
from typing import Annotated, Any

import typer

from diag.bench.inputs import Input
from diag.cli.guard import guarded
from diag.cli.options import Json, Text, text_option

Given = Mapping[str, Any]
"""What was typed, by option: a text, a list of texts, or True."""


KEEP = {
    "keep": inspect.Parameter(
        "keep",
        inspect.Parameter.KEYWORD_ONLY,
        default=None,
        annotation=Annotated[
            Text, text_option("--keep", "SESSION", "Keep what it says as a remark in a session.")
        ],
    )
}
"""The option that keeps a sum with a session."""


def with_inputs(
    inputs: Sequence[Input],
    run: Callable[..., int | None],
    more: Mapping[str, inspect.Parameter] | None = None,
) -> Callable[..., None]:
    """Return a command function that has one option for each input, and `--json`.

    It calls `run` with what was typed, as `Given`, and `as_json`, and exits with what it returns
    unless that is None. `more` holds parameters of another kind by name, handed on as they are.
    """
    parameters = [*(more or {}).values(), *(_parameter(each) for each in inputs)]
    names = {_name(each): each.option for each in inputs}

    def command(**typed: Any) -> None:
        given = {names[name]: typed.pop(name) for name in names}
        given = {option: text for option, text in given.items() if text not in (None, False)}
        with guarded():
            code = run(given, **typed)
            if code is not None:
                raise SystemExit(code)

    json = inspect.Parameter(
        "as_json", inspect.Parameter.KEYWORD_ONLY, default=False, annotation=Json
    )
    signature = inspect.Signature([*parameters, json])
    command.__signature__ = signature  # type: ignore[attr-defined]
    command.__annotations__ = {each.name: each.annotation for each in signature.parameters.values()}
    command.__doc__ = run.__doc__
    return command


def _name(each: Input) -> str:
    return each.option.replace("-", "_")


def _parameter(each: Input) -> inspect.Parameter:
    flag = f"--{each.option}"
    shape = each.shape or {"1": "N"}.get(each.unit, each.unit.upper())
    kind: Any = Annotated[Text, text_option(flag, shape, each.help)]
    if each.given == "often":
        kind = Annotated[list[str] | None, text_option(flag, shape, each.help)]
    elif each.given == "flag":
        kind = Annotated[bool, typer.Option(flag, help=each.help)]
    default = False if each.given == "flag" else None
    return inspect.Parameter(
        _name(each), inspect.Parameter.KEYWORD_ONLY, default=default, annotation=kind
    )
