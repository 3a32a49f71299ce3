"""``python -m proofs``, and the command ``proofs``."""


def main() -> None:
    """Run the command line."""
    from proofs.cli.main import main as run  # here, because each new worker imports this module

    run()


if __name__ == "__main__":
    main()
