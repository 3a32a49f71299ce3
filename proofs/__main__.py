"""``python -m proofs``, and the command ``proofs``."""

import gc


def main() -> None:
    """Run the command line."""
    # What loading makes, stays: to look for garbage meanwhile takes a tenth of the time.
    gc.disable()
    from proofs.cli.main import main as run  # here, because each new worker imports this module

    run()


if __name__ == "__main__":
    main()
