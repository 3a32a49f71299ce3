"""The program with a disk that claims to have room, so that it fills up only during writing.

``python -m tests.assault.roomy`` takes the arguments of ``proofs``.
"""

import shutil
from typing import Any

from proofs.cli.main import main


def roomy(path: Any) -> Any:
    """Return the use of a disk with a petabyte free."""
    return shutil._ntuple_diskusage(10**15, 0, 10**15)


if __name__ == "__main__":
    shutil.disk_usage = roomy
    main()
