"""What lies where on a sheet of paper, in whole pixels of its file."""
