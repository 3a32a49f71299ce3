"""The assault needs signals and limits on processes, which some systems do not have."""

import os

collect_ignore_glob = ["*.py"] if os.name == "nt" else []
