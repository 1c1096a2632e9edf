"""The terminal: the only layer that prints, reads keys and exits."""


def main() -> None:
    """Run the `diag` command; wrong use of it is told as wide as the terminal is."""
    import gc

    # Modules and rules stay to the end, so that to search them for dead circles finds nothing.
    gc.set_threshold(100_000)
    from diag.cli.app import run
    from diag.cli.guard import guarded

    with guarded():
        raise SystemExit(run())
