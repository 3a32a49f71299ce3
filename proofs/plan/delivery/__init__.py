"""What a delivery to a lab holds, and what its files must be."""
