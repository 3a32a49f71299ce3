"""From the source's colours to those of a finished file, the tone curve included."""
