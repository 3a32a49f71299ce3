"""Where everything is on a sheet of paper, in whole pixels of its file."""
