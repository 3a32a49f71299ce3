"""The photograph cropped, resampled and sharpened to the exact pixels of a print."""
