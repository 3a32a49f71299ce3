"""All pages as values: texts, lines and pictures with their places, before any PDF."""
