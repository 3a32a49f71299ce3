"""Where the assault cannot run: systems without signals and limits on processes."""

import os

collect_ignore_glob = ["*.py"] if os.name == "nt" else []
