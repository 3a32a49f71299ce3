"""The command line: what is asked, what is said, and the exit code."""
