"""The content of a delivery to a lab, and the requirements on its files."""
