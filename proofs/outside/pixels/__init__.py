"""From a picture file to the pixels a lab prints: the only code that touches pyvips."""
