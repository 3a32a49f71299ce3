"""The command line: options, what is printed, and exit codes."""
