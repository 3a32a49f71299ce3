"""``python -m proofs``."""

from proofs.cli import main

if __name__ == "__main__":
    main()
