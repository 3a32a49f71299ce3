"""How dark to print: tones, densities, and the light at home and at the judging."""
