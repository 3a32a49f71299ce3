"""The pages of an inspection: one table, and a page for each picture with something to see."""
