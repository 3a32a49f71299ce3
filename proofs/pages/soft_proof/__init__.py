"""The soft proof."""
