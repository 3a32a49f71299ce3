"""The cutting guide."""
