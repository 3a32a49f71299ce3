"""The sheet of test strips, the key to its letters, and the plot of a strip read back."""
