"""The terminal: the only layer that prints, reads keys and exits."""


def main() -> None:
    """Run the `diag` command."""
    from diag.cli.app import app

    app(prog_name="diag")
