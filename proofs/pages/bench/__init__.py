"""What ``mounting.pdf`` holds beside the cutting guide."""
