"""The only code that touches the world: files, pixels, PDF."""
