"""The plan of one entry: its pictures, their sizes, and where everything is on the board."""
